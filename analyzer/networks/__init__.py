"""From couplings to networks: who turns with whom, and at what exact speed relative to a root."""
