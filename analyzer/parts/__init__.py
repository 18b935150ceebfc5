"""From candidates and catalogues to parts with a type, a pose and exact numbers."""
