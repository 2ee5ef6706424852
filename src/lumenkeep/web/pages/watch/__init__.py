"""Pages of what is watched over time."""
