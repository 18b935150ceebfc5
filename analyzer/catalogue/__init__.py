"""What blocks do, as data: catalogues read, checked as a whole, and applied to block states."""
