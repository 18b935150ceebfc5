"""From parts to couplings: which part turns which, at what exact signed ratio."""
