"""A case as a file: read with every fault, written back, described."""
