"""pages."""
