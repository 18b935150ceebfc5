"""What former runs left for later ones: bytes by name, kept in one file a save outside of it."""
