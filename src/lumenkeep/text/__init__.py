"""Words that the edges choose: spans and instants, shares, and a policy in sentences."""
