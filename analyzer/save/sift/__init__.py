"""Telling chunks that hold nothing wanted without walking them."""
