"""One router for each place of the app."""
