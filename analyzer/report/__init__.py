"""Text for people and machines, made from an audit or an inventory; it computes nothing."""
