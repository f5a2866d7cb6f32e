"""Anchor Rulebook: sizes and verifies fixings in concrete to EN 1992-4."""

__version__ = "0.1.0"
