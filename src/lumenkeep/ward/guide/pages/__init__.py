"""The pages and the JSON addresses of the guide."""
