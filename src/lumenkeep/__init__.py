"""Lumenkeep: sterile dressing care of children's central lines, planned and charted.

Decision support. It starts from published guidance and defers to the hospital's
own policy and to licensed staff.
"""

__version__ = "0.1.0"
