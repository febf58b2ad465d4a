"""What the page may ask, a file for each question."""
