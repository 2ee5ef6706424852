"""The dressing-life page as values: answer, rows, picture, ratios, evidence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model.facts import known_or_none
from lumenkeep.core.model.words import LINE_KINDS, SITES
from lumenkeep.core.watch.life_splits import ALL
from lumenkeep.core.watch.spells import End
from lumenkeep.drawing import Drawing, Horizon, StepCurve, curves_chart
from lumenkeep.text.moments import counted, plain_day_and_time
from lumenkeep.ward.outcomes.dressing_life_words import (
    END_WORDS,
    curve_words,
    day_words,
    finding_words,
    group_words,
    half_words,
    hundred_words,
)
from lumenkeep.ward.site.pages.shapes import Link

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import tzinfo

    from lumenkeep.core.watch.dressing_life import GroupLife
    from lumenkeep.core.watch.spells import DressingSpell
    from lumenkeep.ward.outcomes.dressing_life import DressingLife

MOST_CURVES = 3
FAILURES_SHOWN = 40


@dataclass(frozen=True, slots=True)
class GroupRow:
    """One group of dressings in the table."""

    name: str
    of_hundred: str
    limits: str
    day: str
    dressings: str
    ends: tuple[str, ...]
    half: str
    is_unknown: bool


def end_heads(life: DressingLife) -> tuple[tuple[End, str], ...]:
    """Return the ends that have a column: those that occur, failing always."""
    whole = life.whole
    return tuple(
        (end, words)
        for end, words in END_WORDS.items()
        if end is End.FAILED or (whole is not None and whole.ends[end])
    )


def group_rows(life: DressingLife, wards: Mapping[str, str]) -> list[GroupRow]:
    """Return the groups; with several, all dressings together come last."""
    heads = end_heads(life)
    split = life.asked.split
    rows = [
        _row(group, group_words(split, group.key, wards), heads)
        for group in life.groups
    ]
    if len(life.groups) > 1 and life.whole is not None:
        rows.append(_row(life.whole, "All together", heads))
    return rows


def _row(life: GroupLife, name: str, heads: tuple[tuple[End, str], ...]) -> GroupRow:
    share, limits = hundred_words(life.failed)
    return GroupRow(
        name,
        share,
        limits,
        day_words(life.horizon),
        f"{len(life.spells):,}",
        tuple(f"{life.ends[end]:,}" for end, _ in heads),
        half_words(life),
        name == "Not known",
    )


def ratio_rows(
    life: DressingLife, wards: Mapping[str, str]
) -> list[tuple[str, str, str]]:
    """Return the hazard ratios of a comparison; none without one."""
    if life.comparison is None:
        return []
    return [
        (
            group_words(life.asked.split, effect.name, wards),
            f"{effect.ratio:.2g}" if effect.is_finite else "cannot be estimated",
            f"{effect.low:.2g} to {effect.high:.2g}" if effect.is_finite else "none",
        )
        for effect in life.comparison.model.effects
    ]


def life_drawing(
    life: DressingLife, wards: Mapping[str, str], where: str
) -> Drawing | None:
    """Return the curves: all ends of one group, or the failures of up to three."""
    whole = life.whole
    if whole is None or not whole.curve:
        return None
    known = [g for g in life.groups if g.key is not None and g.curve]
    # Up to different days the same curve would be read off differently.
    if len(known) > 1:
        known = [g for g in known if g.horizon == known[0].horizon]
    if life.asked.split == ALL or len(known) < 2:  # noqa: PLR2004  one is no split
        curves, quantity = _every_end(whole), "share of dressings that have come off so"
        horizon, among = whole.horizon, whole
    else:
        drawn = known[:MOST_CURVES]
        curves = [
            _failures(g, curve_words(life.asked.split, g.key, wards)) for g in drawn
        ]
        quantity, horizon, among = (
            "share of dressings that failed",
            drawn[0].horizon,
            whole,
        )
    return curves_chart(
        "dressing-life",
        f"How dressings end {where}",
        curves,
        quantity=quantity,
        horizon=Horizon(horizon, day_words(horizon)),
        among=counted(len(among.spells), "dressing", "dressings"),
        ends_at=max(curve.times[-1] for curve in curves),
    )


def _failures(life: GroupLife, name: str) -> StepCurve:
    points = life.curve
    return StepCurve(
        name,
        tuple(point.day for point in points),
        tuple(point.failed.value or 0.0 for point in points),
        tuple(point.failed.low or 0.0 for point in points),
        tuple(1.0 if p.failed.high is None else p.failed.high for p in points),
    )


def _every_end(life: GroupLife) -> list[StepCurve]:
    days = tuple(point.day for point in life.curve)
    return [
        _failures(life, "failed"),
        StepCurve("planned change", days, tuple(p.planned for p in life.curve)),
        StepCurve("line out", days, tuple(p.line_out for p in life.curve)),
    ]


FailureRow = tuple[Link, str, str, str]
"""A dressing that failed: when and where it is charted, after how long, how, and line."""


def failure_rows(
    life: DressingLife, zones: Mapping[str, tzinfo], href: Callable[[str, int], str]
) -> tuple[list[FailureRow], int]:
    """Return the latest failures, each with its entry, and how many more there are.

    Parameters
    ----------
    href
        Address of an entry on a line's page.
    """
    spells = life.whole.spells if life.whole else ()
    failed = sorted(
        (s for s in spells if s.end is End.FAILED),
        key=lambda s: s.ended_at,
        reverse=True,
    )
    rows = [_failure(spell, zones, href) for spell in failed[:FAILURES_SHOWN]]
    return rows, len(failed) - len(rows)


def _failure(
    spell: DressingSpell, zones: Mapping[str, tzinfo], href: Callable[[str, int], str]
) -> FailureRow:
    zone = zones[known_or_none(spell.ward) or ""]
    parts = (
        LINE_KINDS.get(known_or_none(spell.line_kind) or "", "Line"),
        SITES.get(known_or_none(spell.site) or "", "site not known"),
    )
    when = plain_day_and_time(spell.ended_at, zone)
    return (
        Link(when, href(spell.line, spell.entries[1])),
        f"{spell.days:.1f} d",
        finding_words(spell.finding),
        ", ".join(parts),
    )
