"""The chart in the database: entries appended, lines kept as they leave them."""
