"""Chart, correct and take back any kind of entry, from what the registry says of it."""
