"""Pages that look back on a ward and period."""
