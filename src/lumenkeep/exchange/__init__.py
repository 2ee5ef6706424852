"""What goes in and out in files: cases, answers, and the description of a case."""
