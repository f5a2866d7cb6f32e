"""What a label in the hand of a crew says of a fastener, and what it leaves open."""
