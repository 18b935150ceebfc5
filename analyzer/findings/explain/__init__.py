"""Why one part turns as it does: the chains of parts that drive it, or what would."""
