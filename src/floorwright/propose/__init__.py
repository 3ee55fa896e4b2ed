"""Countermeasures: a short spec in, a checked `basis.proposal.Proposal` out; one folder a kind."""
