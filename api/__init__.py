"""Every face of the program: planner, drawings, command line, web."""
