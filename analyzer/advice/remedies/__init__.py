"""Ways to mend what each rule finds, the cheapest of each kind."""
