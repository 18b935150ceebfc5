"""What is drawn of an audit, as plain values: sheets of parts, marks on them, power diagrams."""
