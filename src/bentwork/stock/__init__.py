"""What is the bar? Its section, its material, and the length it is bought in."""
