"""What the bar is bent on: the bender, and what stands round it."""
