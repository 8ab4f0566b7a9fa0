"""The pictures of the printed pattern."""
