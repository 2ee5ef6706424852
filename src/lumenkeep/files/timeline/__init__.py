"""A surveillance timeline as a file, read with every fault."""
