"""A catalogue on trial: what a save recorded, held against what the catalogue says."""
