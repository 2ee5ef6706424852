"""Two sets beside each other: over all children, and statement by statement."""
