"""From a solution to findings: what is wrong, where, by how much, and the proof."""
