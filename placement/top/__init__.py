"""The quilt top: its setting, which fabric in which cell, which blocks to turn."""
