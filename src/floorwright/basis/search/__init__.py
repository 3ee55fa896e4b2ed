"""Stop rules, seeds and where work runs, for searches. Empty until a search needs them."""
