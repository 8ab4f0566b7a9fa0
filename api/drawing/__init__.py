"""Shapes in real units, made once, then handed to SVG and PNG."""
