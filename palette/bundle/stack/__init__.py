"""A folded stack of fabrics."""
