"""The hospital’s policy: drafted, read, proved, approved and put in force."""
