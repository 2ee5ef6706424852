"""One dressing change for one child at one instant, with reasons and questions."""
