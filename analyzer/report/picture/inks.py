"""The colours of a drawing sheet; what they tell apart differs in shape and words too.

Findings have the vermilion, orange and blue of a set that people who see few colours tell apart:
M. Okabe, K. Ito, *Color Universal Design* (2008; cited from memory), darkened for text.
"""

from __future__ import annotations

from typing import Final

from analyzer.base.policy import Level

PAPER: Final = "#fbfaf6"
#: Lines and letters.
INK: Final = "#1f2a36"
#: Letters of lesser weight.
GREY: Final = "#5a6672"
#: Lines of the grid, and of chunks.
GRID: Final = "#e3e4df"
CHUNK: Final = "#b3bcc2"
#: What fills the shape of a mover, and of a machine.
MOVER: Final = "#1f2a36"
MACHINE: Final = "#dfe8ee"
LEVELS: Final = {Level.ERROR: "#b23a00", Level.WARNING: "#8a5a00", Level.NOTE: "#0b62a0"}
