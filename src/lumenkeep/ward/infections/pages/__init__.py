"""Pages on infections: a ward's list, one infection, and the forms behind them."""
