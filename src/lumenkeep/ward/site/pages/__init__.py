"""What pages of every topic share."""
