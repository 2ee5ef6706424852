"""A mixed ward of invented cases: newborns, infants, older children, and gaps.

The same seed gives the same cases. Limits are met and missed by a little on purpose,
and anything may be unknown. Used by the benchmarks; no test and no answer rests on it.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from random import Random
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from lumenkeep.files.case.case_file import case_from_mapping

if TYPE_CHECKING:
    from lumenkeep.core.model import Case

ZONE = ZoneInfo("America/Chicago")
AT = datetime(2026, 11, 25, 14, 0, tzinfo=UTC)
SEED = "benchmark-1"
KINDS = ("non-tunnelled", "tunnelled", "picc", "port", "umbilical-venous")
SITES = ("femoral", "femoral", "internal-jugular", "upper-arm", "lower-leg", "chest")
WORN = ("transparent", "transparent-chg-gel", "gauze", "gauze-under-transparent")
SENSITIVITIES = ([], [], [], [], ["chlorhexidine"], ["iodine"], ["adhesive", "latex"])
GLOVES = ("6", "6.5", "7", "7.5", "8")
GAP = 0.08
"""How often a fact is left out."""


def mixed_cases(count: int = 240, seed: str = SEED) -> list[Case]:
    """Return ``count`` cases: a third newborn, a third infant, a third older."""
    rng = Random(seed)
    return [
        case_from_mapping(_case(rng, number % 3), f"case {number}")
        for number in range(count)
    ]


def _case(rng: Random, band: int) -> dict[str, Any]:
    age_h, gestation, grams = (_newborn, _infant, _older)[band](rng)
    born = AT - timedelta(hours=age_h)
    day = born.astimezone(ZONE).date()
    child: dict[str, Any] = {
        "born": born.isoformat() if rng.random() > GAP else day.isoformat(),
        "gestation_at_birth": gestation,
        "weights": [{"at": (AT - timedelta(minutes=5)).isoformat(), "g": grams}],
        "sensitivities": rng.choice(SENSITIVITIES),
        "skin_at_site": rng.choice(("intact",) * 9 + ("broken",)),
    }
    stands_h = min(age_h, rng.uniform(1, 200))
    since = (AT - timedelta(hours=stands_h)).isoformat()
    line: dict[str, Any] = {
        "kind": rng.choice(KINDS),
        "site": rng.choice(SITES),
        "inserted": since,
        "lumens": rng.choice((1, 2, 3)),
        "external_length_mm": rng.randrange(10, 90),
        "stitches": rng.choice((0, 2)),
        "dressing": {
            "kind": rng.choice(WORN),
            "applied": since,
            "findings": rng.choice(([], [], [], ["damp"], ["bleeding"])),
        },
        "connectors_changed": since,
        "sets": [{"kind": rng.choice(("plain", "lipid")), "changed": since}],
    }
    for table in (child, line):
        for key in list(table):
            if rng.random() < GAP:
                del table[key]
    people = {role: {"glove": rng.choice(GLOVES)} for role in ("operator", "assistant")}
    return {"child": child, "line": line, "people": people, "zone": ZONE.key}


def _newborn(rng: Random) -> tuple[float, str, int]:
    weeks = rng.randrange(23, 42)
    grams = round((weeks - 20) * 160 * rng.uniform(0.8, 1.2)) + 150
    return rng.uniform(1, 28 * 24), f"{weeks}w{rng.randrange(7)}d", grams


def _infant(rng: Random) -> tuple[float, str, int]:
    # Not from day 57 to 63: there 60 days and two calendar months may part ways.
    days = rng.choice((rng.uniform(28, 57), rng.uniform(63, 365)))
    weeks = rng.randrange(23, 42)
    return days * 24, f"{weeks}w{rng.randrange(7)}d", rng.randrange(900, 9000)


def _older(rng: Random) -> tuple[float, str, int]:
    years = rng.uniform(1, 18)
    return years * 365.25 * 24, f"{rng.randrange(30, 42)}w0d", int(7000 + years * 2600)
