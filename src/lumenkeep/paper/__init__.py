"""What is printed: pages set by typst in our own typeface."""
