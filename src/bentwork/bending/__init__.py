"""What does this bar do on this bender? The metal's answer, the tool's sizes, the maker's test bends."""
