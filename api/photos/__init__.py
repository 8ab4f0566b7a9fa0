"""Photos on their way in: opened in child processes, made swatches of."""
