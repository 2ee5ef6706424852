"""What a line, its site and its dressing do over time, and what somebody must act on."""
