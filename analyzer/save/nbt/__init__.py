"""A save's bytes: out of their compression, and walked."""
