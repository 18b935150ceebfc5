"""What the main job does that nothing outside the project was found to judge."""

UNCHECKED = (
    "The placements *beside*, *diagonal* and *crossed* as such: that just these rims reach each "
    "other is a convention of this project. What is checked is the sign and the ratio that no slip "
    "at their pitch points gives.",
    "That a slower mover dragged by a faster one still gives its full rating: a convention.",
    "Governors: which zone decides, and that power passes through them. Judged only by a second, "
    "plain solver of our own (tests/judge).",
    "Switches: that a clutch parts a network and that two reversers multiply follows from the "
    "rules; judged by the plain solver alone.",
    "Which structure templates the game itself writes: none was at hand, so templates are held "
    "against general-purpose NBT libraries only.",
    "Saves written by snapshots between the versions that the shared real saves come from.",
    "Thresholds of the warnings (thin headroom, heavy networks): choices, not facts.",
    "Which remedy is wise: findings say what is wrong; no handbook was found that ranks mends.",
)
