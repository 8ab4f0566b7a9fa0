"""Which fabric lies where."""
