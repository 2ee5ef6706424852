"""Line rounds: whom to visit, what was seen, what it came to."""
