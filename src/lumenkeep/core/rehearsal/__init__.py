"""A set of procedures rehearsed: its branches laid out and walked."""
