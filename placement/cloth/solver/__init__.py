"""Pieces onto cloth: column generation and whole programs."""
