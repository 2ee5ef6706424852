"""What a person sees: addresses, views, forms, and the shapes that pages draw."""
