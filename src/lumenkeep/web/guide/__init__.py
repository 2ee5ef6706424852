"""Opened guides, what was told of them, and the ways back that were worked out."""
