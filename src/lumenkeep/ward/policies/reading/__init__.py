"""The policy to read: which sets there are, a whole set as a page, and its chart."""
