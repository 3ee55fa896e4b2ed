"""Before against after, what it is worth, what to do next, the gain ledger."""
