"""Which lines may have an open concern: derived from the chart, never the truth."""
