"""A firm's whole stock of jobs proved again: what held and no longer does."""
