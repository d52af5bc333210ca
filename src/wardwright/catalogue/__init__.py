"""What can be fitted: generic kinds of device, described by the figures that physics, rules and price need.

No maker's name and no part number. A contractor's own CSV extends or replaces rows.
"""
