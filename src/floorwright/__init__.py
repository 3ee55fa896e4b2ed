"""floorwright: measure shop-floor waste, prove that a fix helped, say what it is worth, hold the gain."""

__version__ = "0.1.0"
