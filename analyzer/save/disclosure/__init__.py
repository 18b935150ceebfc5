"""What a save tells whoever gets it."""
