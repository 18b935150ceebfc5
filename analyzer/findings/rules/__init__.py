"""The rules, one a file: each looks at a case and yields what it finds."""
