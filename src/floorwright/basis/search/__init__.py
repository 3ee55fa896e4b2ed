"""Searches with a clear face: where work runs."""
