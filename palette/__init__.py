"""What colour a fabric is: from a photo to colours, likeness, contrast and a pick."""
