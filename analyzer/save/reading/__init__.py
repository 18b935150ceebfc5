"""Going through regions and templates, whatever is looked for, here or on an executor."""
