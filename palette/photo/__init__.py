"""One photo: from bytes to a fabric's colours."""
