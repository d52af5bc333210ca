"""Wardwright: designs, quotes, proves and documents intruder alarms in homes and small businesses.

One way through: premises, design, analyses, rules, documents. ``ARCHITECTURE.md`` is the map.
"""

__version__ = "0.1.0"
