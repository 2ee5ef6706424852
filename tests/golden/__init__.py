"""Everything the product answers, written to a folder, so that two states compare."""
