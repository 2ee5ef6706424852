"""What holds for a line: its facts, what holds it, its plan and what is due, read as one."""
