"""What every calculation speaks: quantities, sources, workings, checks, estimates, errors, statistics."""
