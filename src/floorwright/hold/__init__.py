"""Keeping the gain: control charts and the dates on which to measure again."""
