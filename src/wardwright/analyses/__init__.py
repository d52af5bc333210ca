"""What follows from a design: coverage, entry, routes, power, loops, timing. Results, never verdicts."""
