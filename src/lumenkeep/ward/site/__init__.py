"""What every topic stands on: the data folder, guards, people, forms that are typed."""
