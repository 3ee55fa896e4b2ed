"""One module for each step, named after its number."""
