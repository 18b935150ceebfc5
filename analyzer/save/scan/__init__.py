"""The scan of a save: candidates for parts, what was looked at, what was left over."""
