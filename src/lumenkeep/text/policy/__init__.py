"""A policy in words: what it says, what it says otherwise, what its proof shows."""
