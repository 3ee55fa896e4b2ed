"""Consumables at the point of use: reorder levels."""
