"""What a save would do in other states of its switches and movers."""
