"""From a save's files to what they hold: the only package that opens a world's files."""
