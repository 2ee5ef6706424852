"""Line rounds: how often what should be so is so, and how sure that is."""
