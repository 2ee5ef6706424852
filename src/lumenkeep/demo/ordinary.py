"""The other children of the wards: ordinary lines, in and out over ninety days."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.demo.growth import weight_of_age
from lumenkeep.demo.told import ToldChild, ToldLine, days

if TYPE_CHECKING:
    from datetime import datetime
    from random import Random

PVI = "povidone-iodine"
HOW_MANY = {"kestrel": 14, "wren": 12, "heron": 14}
GONE_SHARE = 0.2
SECOND_LINE_SHARE = 0.45
SETS = (
    (("main", "plain"),),
    (("main", "plain"), ("lipid", "lipid")),
    (("main", "plain"), ("second", "plain")),
)


def ordinary(rng: Random, ward: str, now: datetime) -> ToldChild:
    """Return one ordinary child of a ward; every fifth has gone home without a line."""
    is_gone = rng.random() < GONE_SHARE
    if ward == "wren":
        return _newborn(rng, now, is_gone=is_gone)
    years = rng.uniform(0.4, 12) if ward == "kestrel" else rng.uniform(1.5, 16)
    age = 365.25 * years
    lines = [_older_line(rng, ward, is_gone=is_gone)]
    if rng.random() < SECOND_LINE_SHARE:
        lines.append(_older_line(rng, ward, is_gone=True))
    allergy = rng.choice(((),) * 8 + (("adhesive",), ("latex",)))
    return ToldChild(
        ward, now - days(age), weight_of_age(rng, age), tuple(lines),
        sensitivities=allergy,
    )  # fmt: skip


def _newborn(rng: Random, now: datetime, *, is_gone: bool) -> ToldChild:
    weeks = rng.randint(24, 40)
    age = rng.uniform(8, 70) if weeks < 33 or is_gone else rng.uniform(3, 25)  # noqa: PLR2004
    weight = weight_of_age(rng, age, weeks)
    needs_iodine = weeks < 28 or age < 9 or weight < 1050  # noqa: PLR2004
    stay = age * rng.uniform(0.3, 0.8)
    first = ToldLine(
        "picc", rng.choice(("upper-arm", "upper-arm", "lower-leg", "scalp")),
        days(max(stay, 2.5)), rng.choice(("left", "right")),
        removed_ago=days(max(stay, 2.5) * rng.uniform(0.1, 0.6)) if is_gone else None,
        dressing="transparent", length_mm=rng.randint(5, 30), sets=SETS[1],
    )  # fmt: skip
    lines = [first]
    if rng.random() < SECOND_LINE_SHARE and age > 6:  # noqa: PLR2004
        inserted = age - rng.uniform(0.05, 0.4)
        lines.append(
            ToldLine(
                rng.choice(("umbilical-venous", "umbilical-arterial")),
                "umbilical",
                days(inserted),
                removed_ago=days(inserted - rng.uniform(2.5, 4.8)),
                dressing="transparent",
                length_mm=rng.randint(40, 80),
                stitches=1,
                sets=SETS[0],
            )
        )  # fmt: skip
    return ToldChild(
        "wren", now - days(age), weight, tuple(lines),
        gestation=f"{weeks}w{rng.randint(0, 6)}d",
        agent=PVI if needs_iodine else "chlorhexidine-alcohol",
    )  # fmt: skip


def _older_line(rng: Random, ward: str, *, is_gone: bool) -> ToldLine:
    side = rng.choice(("left", "right"))
    inserted = days(rng.uniform(12, 88) if ward == "heron" else rng.uniform(3, 30))
    removed = inserted * rng.uniform(0.15, 0.6) if is_gone else None
    reason = rng.choice(("no longer needed", "no longer needed", "blocked", "moved"))
    kinds = ("tunnelled", "tunnelled", "port", "picc")
    if ward == "kestrel":
        kinds = ("non-tunnelled", "non-tunnelled", "picc", "haemodialysis")
    kind = rng.choice(kinds)
    sets = rng.choice(SETS)
    if kind == "port":
        return ToldLine(
            kind, "chest", inserted, side, removed_ago=removed, has_needle=True,
            sets=sets, reason_out=reason,
        )  # fmt: skip
    site, low, high, stitches, lumens = {
        "tunnelled": ("chest", 120, 220, 2, rng.choice((1, 2))),
        "picc": ("upper-arm", 8, 45, 0, rng.choice((1, 2))),
        "haemodialysis": ("internal-jugular", 60, 110, 2, 2),
        "non-tunnelled": (
            rng.choice(("internal-jugular", "internal-jugular", "femoral", "subclavian")),
            30, 90, rng.choice((2, 4)), rng.choice((2, 3)),
        ),
    }[kind]  # fmt: skip
    return ToldLine(
        kind, site, inserted, side, lumens, removed,
        length_mm=rng.randint(low, high), stitches=stitches, sets=sets,
        reason_out=reason,
    )  # fmt: skip
