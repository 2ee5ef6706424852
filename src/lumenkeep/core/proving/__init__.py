"""A policy set proved as a whole: its rules, its procedures, what is laid out."""
