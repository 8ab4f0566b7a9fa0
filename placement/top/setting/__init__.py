"""How blocks are put together, and what lies around them."""
