"""Scenarios: people and intruders walk through building and panel together, second by second."""
