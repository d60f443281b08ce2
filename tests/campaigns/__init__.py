"""Long runs against what can break the program: by hand, each with a seed and a count."""
