"""Pages on which the hospital's policy is drafted, proved, approved and put in force."""
