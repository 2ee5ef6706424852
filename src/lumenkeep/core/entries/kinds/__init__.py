"""The kinds of entry, by what they are about."""
