"""Live views for notebooks."""
