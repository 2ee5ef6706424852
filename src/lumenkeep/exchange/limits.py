"""What a case file may possibly hold: guards against slips of the pen, not clinical limits."""

from __future__ import annotations

YEARS = (1900, 2200)
GESTATION_DAYS = (18 * 7, 45 * 7)
MASS_G = (150, 300_000)
LENGTH_MM = (0, 1000)
STITCHES = (0, 12)
LUMENS = (1, 6)
DATE_PATTERN = r"^\s*[0-9]{4}-[0-9]{2}-[0-9]{2}\s*$"
INSTANT_PATTERN = (
    r"^\s*[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt][0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]{1,6})?)?"
    r"([Zz]|[+-][0-9]{2}:[0-9]{2})\s*$"
)
"""What the schema promises is what the reader takes, and no other form."""
GLOVES = tuple(f"{half / 2:g}" for half in range(10, 20))
