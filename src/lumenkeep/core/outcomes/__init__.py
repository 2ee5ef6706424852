"""Did it help? Which infections belong to a line, what was counted, how sure that is."""
