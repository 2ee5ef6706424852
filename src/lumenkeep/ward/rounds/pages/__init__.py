"""Pages of line rounds: the beds of today, one line, and what came of it."""
