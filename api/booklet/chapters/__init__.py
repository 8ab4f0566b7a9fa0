"""The chapters of the printed pattern."""
