"""From somebody else's file, or a walk round with a tape, to premises and a report of every guess.

Each reader turns its format into a :class:`~wardwright.intake.draft.Draft` in metres; ``assemble`` does the
geometry once for all of them. Knows premises and geometry; nothing in the river knows it but job, web and cli.
"""
