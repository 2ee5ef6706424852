"""Looking back on a ward and period, section by section."""
