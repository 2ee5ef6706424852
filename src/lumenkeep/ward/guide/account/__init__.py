"""What a guide tells at the end: read, checked, and turned into entries."""
