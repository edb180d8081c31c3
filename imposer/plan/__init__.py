"""Passes, drums, masters, counts. Numbers and names, no files."""
