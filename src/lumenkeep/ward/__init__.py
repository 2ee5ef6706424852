"""What a hospital stores and sees, cut by topic."""
