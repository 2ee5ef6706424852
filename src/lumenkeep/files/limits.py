"""The forms that years, instants and gloves may have in a case file.

How much a mass or a length can be is a bound of the world (`lumenkeep.core.policy.bounds`).
"""

from __future__ import annotations

YEARS = (1900, 2200)
DATE_PATTERN = r"^\s*[0-9]{4}-[0-9]{2}-[0-9]{2}\s*$"
INSTANT_PATTERN = (
    r"^\s*[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt][0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]{1,6})?)?"
    r"([Zz]|[+-][0-9]{2}:[0-9]{2})\s*$"
)
"""What the schema promises is what the reader takes, and no other form."""
GLOVES = tuple(f"{half / 2:g}" for half in range(10, 20))
