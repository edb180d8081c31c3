"""fold."""
