"""The web program."""
