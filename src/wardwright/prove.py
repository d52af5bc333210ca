"""The proof of a job: every finding, with the results they rest on."""
