"""Parts, cut plans and plates. Empty until a countermeasure hands over parts."""
