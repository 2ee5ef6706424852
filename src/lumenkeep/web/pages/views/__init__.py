"""The views, one idea a file."""
