"""What does the piece look like as a body? Meshes and lines for CAD, printers and cutters, not bytes."""
