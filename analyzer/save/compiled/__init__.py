"""The walk over whole chunks as machine code: an optional extra that never decides alone."""
