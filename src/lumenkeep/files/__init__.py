"""What goes in and out in files: cases, timelines, answers."""
