"""What is to be made of the bar: bends, bend table, centreline, corner points, starting shapes."""
