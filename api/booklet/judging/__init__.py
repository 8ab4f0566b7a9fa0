"""The judge of the print: the words of a booklet against its plan and cut book."""
