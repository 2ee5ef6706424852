"""Findings that somebody must act on, with who and by when; and the watch on lengths."""
