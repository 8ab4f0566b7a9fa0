"""Facts to English: the only room with sentences about a plan."""
