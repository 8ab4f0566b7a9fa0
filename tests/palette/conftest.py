"""Fixtures: the reference library of colour, and profiles built from it."""

from tests.profiles import colour_science, display_p3, make_profile

__all__ = ["colour_science", "display_p3", "make_profile"]
