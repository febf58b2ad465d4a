"""Where the marks are, and in which order the bends are made."""
