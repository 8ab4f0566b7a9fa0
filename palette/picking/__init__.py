"""Which fabrics to use, and why not the others."""
