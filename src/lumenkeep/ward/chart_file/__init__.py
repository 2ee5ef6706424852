"""The chart as an open file: read, merged, carried in and out."""
