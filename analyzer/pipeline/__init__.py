"""The stages put together: the one package that knows all of them."""
