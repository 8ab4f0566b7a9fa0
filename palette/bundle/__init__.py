"""One photo of a whole bundle, taken apart into a swatch for each fabric."""
