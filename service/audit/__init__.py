"""What a change of the rules is and does: changes, their impact on fixings, records replayed, and releases."""
