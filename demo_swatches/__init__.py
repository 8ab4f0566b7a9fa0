"""Photos of an invented bundle of cotton, and the script that makes them."""
