"""Outlines made right: fragments, touching pieces, prints in the table's colours."""
