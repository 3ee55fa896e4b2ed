"""What stands before every request: host names, headers, limits, forged forms, and who asks."""
