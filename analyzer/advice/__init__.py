"""What to change: remedies for findings, changes tried without touching the save, with proof."""
