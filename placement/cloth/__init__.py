"""Pieces on the cloth: what to cut, how it fits, what to buy."""
