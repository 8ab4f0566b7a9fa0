"""The printed pattern: its contents as values, then pages for print and for the web."""
