"""The command line: one file a command; the one package that knows click."""
