"""Seams, and how they are pressed and turned to nest."""
