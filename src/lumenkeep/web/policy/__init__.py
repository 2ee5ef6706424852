"""Storage of policy drafts, and of the steps of each version's life."""
