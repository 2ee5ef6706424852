"""The chart: children, lines and entries, charted, corrected, kept and shown."""
