"""The printed pattern as PDF and as a web page."""
