"""Statistics of the outcomes, each by its name."""
