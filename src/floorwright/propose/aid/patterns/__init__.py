"""Patterns of shop aids: one file a pattern, from what the user says to a layout."""
