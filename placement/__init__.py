"""Where things go: blocks on the quilt top."""
