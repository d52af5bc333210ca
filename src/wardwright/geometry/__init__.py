"""Points, polygons, visibility and paths in the plane. Knows nothing of walls or rooms."""
