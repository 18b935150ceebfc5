"""One chunk or template: what stands where in its tree, and what it lists."""
