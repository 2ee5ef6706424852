"""What is due when on a line: windows, findings, and what is not known."""
