"""What is written, a module for each kind of answer."""
