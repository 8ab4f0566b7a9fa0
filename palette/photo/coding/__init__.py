"""What a file says its colours are, by profile, code points, chunks or tags."""
