"""Where plans and pictures are kept, and plans that come from elsewhere."""
