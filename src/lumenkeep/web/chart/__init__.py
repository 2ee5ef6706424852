"""The chart in the database: append-only entries, and what is derived from them."""
