"""Which bloodstream infections belong to a line, from the chart."""
