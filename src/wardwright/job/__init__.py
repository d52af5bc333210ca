"""One job: brief, premises, existing system, design, departures, site records, papers issued: one saved file."""
