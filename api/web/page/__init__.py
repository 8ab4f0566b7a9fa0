"""The page's files as they go over the wire."""
