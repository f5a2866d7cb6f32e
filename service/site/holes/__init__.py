"""Holes and depths of setting: what the sheet tells a crew to drill, and what an as-built check measures."""
