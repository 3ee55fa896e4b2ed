"""Checks of shop aids, one file a family: pure functions of numbers that give results or verdicts."""
