"""A save's files: found, opened, watched; what could not be read of them."""
