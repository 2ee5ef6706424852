"""Which version of a policy is in force on a ward, and the steps of its life."""
