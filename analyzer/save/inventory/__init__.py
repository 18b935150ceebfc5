"""The inventory of a save: every block entity, whether anything knows it or not."""
