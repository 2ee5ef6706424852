"""The recovery steps after a break in sterile technique, to read and to print."""
