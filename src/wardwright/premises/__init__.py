"""The building as it stands: storeys, walls, openings, rooms, what is in it and around it.

Knows geometry and materials. Does not know that alarm devices exist.
"""
