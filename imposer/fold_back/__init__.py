"""Finished masters folded back into the booklet they would make, from nothing but the masters themselves.

Every master page carries a private entry that says what lies where; this package writes that entry, reads it, looks at
the page's pixels, cuts, folds and nests the sheets in memory, and tells what does not read 1 … N.
"""
