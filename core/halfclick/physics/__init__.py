"""Water, and later bed and drawdown, by published equations."""
