"""write."""
