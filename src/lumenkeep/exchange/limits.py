"""What a case file may possibly hold: guards against slips of the pen, not clinical limits."""

from __future__ import annotations

YEARS = (1900, 2200)
GESTATION_DAYS = (18 * 7, 45 * 7)
MASS_G = (150, 300_000)
LENGTH_MM = (0, 1000)
STITCHES = (0, 12)
LUMENS = (1, 6)
GLOVES = tuple(f"{half / 2:g}" for half in range(10, 20))
