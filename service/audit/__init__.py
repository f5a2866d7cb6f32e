"""What a change of the rules does: replays of records, its impact on fixings, and which figures are guarded."""
