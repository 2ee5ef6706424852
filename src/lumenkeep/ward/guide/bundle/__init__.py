"""What a guide carries to the bedside, in one value."""
