"""What the main job does that nothing outside the project was found to judge."""

UNCHECKED = (
    "That just the placements *beside*, *diagonal* and *crossed* let rims reach each other: a "
    "convention of this project. What is checked is that the sign and the ratio are those of no "
    "slip at the pitch point, and that rims nowhere else turn each other.",
    "That a slower mover dragged by a faster one still gives its full rating: a convention.",
    "Which governor decides where several act on each other, in rings of them above all; that a "
    "set speed outranks movers. Judged only by a second, plain solver of our own (tests/judge).",
    "When a recorded speed agrees: two units in the last place are a choice. Which suspects the "
    "catalogue on trial names is tried on random mistakes alone.",
    "Cuts: what an unread chunk makes of a finding follows from the rules of this project.",
    "The limits of warnings (thin headroom, heavy networks) and of the range of speeds: choices.",
    "Structure templates as the game itself writes them: none was at hand, so templates are held "
    "against general-purpose NBT libraries only.",
    "Saves of snapshots between the versions of the real saves, and of versions after 26.1.2.",
    "Which mend is wise: no handbook was found that ranks them.",
)
