"""What stands before every route."""
