"""What people saw on line rounds."""
