"""What the workshop reads: strokes and words in mm on paper, not bytes."""
