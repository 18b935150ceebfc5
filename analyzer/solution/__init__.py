"""From networks to speeds, states and power budgets, all exact."""
