"""Paper folded in memory: creases, signatures, nesting, gathering. Whole numbers, no lengths, no files."""
