"""The addresses of the program, by what they are about."""
