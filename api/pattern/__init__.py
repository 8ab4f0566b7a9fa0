"""What a pattern is and how it is made."""
