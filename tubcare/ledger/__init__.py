"""Money, stock, write-off, budgets, reviews. Pure."""
