"""Calculations that answer one question of a shop aid alone: springs, casters, tipping, rolling, people."""
