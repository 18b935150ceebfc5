"""Drawings of one network as pictures: SVG that we write, and PNG painted from the same shapes."""
