"""Helical compression springs of round wire: rate, stress, buckling, fatigue, search, and wheels that settle."""
