"""Saving, loading and migrating job files; the firm's own records."""
