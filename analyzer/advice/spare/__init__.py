"""How best to spend the power that a network has to spare."""
