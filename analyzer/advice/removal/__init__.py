"""The fewest couplings, or parts, without which no loop of a gain graph contradicts itself."""
