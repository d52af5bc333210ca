"""The system as drawn: devices, loops, supply, zones, areas, programme, reporting paths, and the brief it answers.

Knows premises and catalogue. Holds no result.
"""
