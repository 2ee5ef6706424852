"""Pages of concerns: a ward’s open ones, one of them, and the forms to act on it."""
