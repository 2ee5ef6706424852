"""Pages of outcomes: the answer, the charts, the days behind them, and what is entered."""
