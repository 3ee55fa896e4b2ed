"""Joints of shop aids: fillet welds, faces of hollow sections, bolts, clamps, plates of casters. Pure functions."""
