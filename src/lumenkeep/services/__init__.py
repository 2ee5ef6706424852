"""One use case a file, each with the ports it needs."""
