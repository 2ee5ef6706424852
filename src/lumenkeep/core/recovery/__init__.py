"""How to go on after a break in sterile technique, and what to have at hand for it."""
