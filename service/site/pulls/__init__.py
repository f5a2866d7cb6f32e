"""Pulls on site for a crew: which fasteners to pull and how hard, and what pulls that were made show."""
