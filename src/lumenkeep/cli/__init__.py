"""Commands: the way in without a server, for people and for machines."""
