"""Steps that bring a shop's tables from each released shape to the next; run when an older shop is opened."""
