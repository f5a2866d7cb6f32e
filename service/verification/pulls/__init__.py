"""Pulls on site as evidence of a resistance: what they are worth, what they need for that, and how far they reach."""
