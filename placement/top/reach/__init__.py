"""How different neighbours can be made, and why not more."""
