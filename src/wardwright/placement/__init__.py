"""Where devices go, and the proof that fewer or cheaper ones will not do."""
