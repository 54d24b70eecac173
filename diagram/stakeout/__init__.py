"""Stake-out: where every standard's foot goes, and how a crew finds the place with tapes."""
