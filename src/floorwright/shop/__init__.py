"""The shop's records, one function for each thing a user does, and the ports they need from outside."""
