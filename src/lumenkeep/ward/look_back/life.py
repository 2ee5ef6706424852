"""The section on dressings: how long those put on in the period really held."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lumenkeep.core.watch.dressing_life import GroupLife, of_hundred
from lumenkeep.core.watch.spells import End
from lumenkeep.drawing import Drawing, Horizon, StepCurve, curves_chart
from lumenkeep.text.shares import per_cent
from lumenkeep.ward.look_back.parts import (
    LookFigure,
    LookPicture,
    LookSection,
)
from lumenkeep.ward.look_back.request import ONE_DAY
from lumenkeep.ward.outcomes.dressing_life import LifeQuery, life_of_entries

if TYPE_CHECKING:
    from collections.abc import Collection

    from lumenkeep.ward.look_back.request import LookBackRequest

END_WORDS = {
    End.FAILED: "Failed",
    End.PLANNED: "Changed as planned",
    End.LINE_OUT: "Came out with the line",
    End.EARLY: "Changed early for another reason",
    End.UNKNOWN: "Changed, and nobody charted why",
    End.STILL_ON: "Still on",
}


def life_sections(asked: LookBackRequest) -> tuple[LookSection, ...]:
    """Return how the dressings put on in the period ended."""
    found = life_of_entries(
        asked.chart,
        asked.sources.wards,
        LifeQuery((asked.ward.key,), since=asked.first, before=asked.last + ONE_DAY),
        asked.end,
    )
    life = found.whole
    unknown = []
    if found.no_ward:
        one = found.no_ward == 1
        unknown.append(
            f"{found.no_ward:,} {'dressing was' if one else 'dressings were'} put on "
            "while nobody had charted a ward."
        )
    if life is None:
        return (
            LookSection(
                "life",
                "How long dressings held",
                "No dressing put on in this period is charted.",
                unknown=tuple(unknown),
            ),
        )
    unknown += _unsure(life)
    return (
        LookSection(
            "life",
            "How long dressings held",
            _sentence(life),
            tuple(_figures(life)),
            (_picture(life),) if life.curve else (),
            unknown=tuple(unknown),
        ),
    )


def _day(life: GroupLife) -> str:
    return f"day {life.horizon:g}"


def _dressings(life: GroupLife) -> str:
    number = len(life.spells)
    return f"{number:,} {'dressing' if number == 1 else 'dressings'}"


def _sentence(life: GroupLife) -> str:
    many = of_hundred(life.failed)
    if many is None:
        return (
            f"Too few of {_dressings(life)} were watched until {_day(life)} to say how "
            "many fail before it."
        )
    return (
        f"Of 100 such dressings, {many.value} "
        f"{'fails' if many.value == 1 else 'fail'} before {_day(life)} "
        f"(95 % limits {many.low} to {many.high}); {_dressings(life)} of "
        f"{life.children:,} {'child' if life.children == 1 else 'children'}."
    )


def _figures(life: GroupLife) -> list[LookFigure]:
    every = _entries(life, set(End))
    figures = [
        LookFigure("dressings", "Dressings put on", f"{len(life.spells):,}", "", every)
    ]
    many = of_hundred(life.failed)
    if many is not None:
        figures.append(
            LookFigure(
                "failed-share",
                f"Of 100, fail before {_day(life)}",
                f"{many.value}",
                f"95 % limits {many.low} to {many.high}.",
                every,
            )
        )
    figures += [
        LookFigure(f"end-{end.value}", words, f"{life.ends[end]:,}", "",
                   _entries(life, {end}))
        for end, words in END_WORDS.items()
        if life.ends[end]
    ]  # fmt: skip
    return figures


def _entries(life: GroupLife, ends: Collection[End]) -> tuple[int, ...]:
    return tuple(
        dict.fromkeys(e for s in life.spells if s.end in ends for e in s.entries)
    )


def _unsure(life: GroupLife) -> list[str]:
    told = []
    if life.if_all_had_failed is not None and life.if_all_had_failed.value is not None:
        share = per_cent(life.if_all_had_failed.value)
        told.append(
            "Dressings changed early, or for a reason nobody charted, are no failures "
            f"here; had they been, {share} would have failed before {_day(life)}."
        )
    if life.undecided:
        told.append(
            f"Watching ended on day {life.watched_to:.1f}, with "
            f"{per_cent(life.undecided)} still on."
        )
    return told


def _ends(life: GroupLife) -> str:
    many = of_hundred(life.failed)
    if many is None:
        return _sentence(life)
    last = next(p for p in reversed(life.curve) if p.day <= life.horizon)
    return (
        f"Before {_day(life)}, of 100 such dressings {many.value} "
        f"{'has' if many.value == 1 else 'have'} failed (95 % "
        f"limits {many.low} to {many.high}), {round(last.planned * 100)} "
        f"{'was' if round(last.planned * 100) == 1 else 'were'} changed "
        f"as planned and {round(last.line_out * 100)} came out with the line."
    )


def _picture(life: GroupLife) -> LookPicture:
    return LookPicture("life-ends", "How dressings ended", _drawn, (life,))


def _drawn(life: GroupLife, key: str, title: str) -> Drawing:
    days = tuple(point.day for point in life.curve)
    failed = [point.failed for point in life.curve]
    curves = [
        StepCurve(
            "failed",
            days,
            tuple(e.value or 0.0 for e in failed),
            tuple(e.low or 0.0 for e in failed),
            tuple(1.0 if e.high is None else e.high for e in failed),
        ),
        StepCurve("planned", days, tuple(p.planned for p in life.curve)),
        StepCurve("line out", days, tuple(p.line_out for p in life.curve)),
    ]
    drawing = curves_chart(
        key,
        title,
        curves,
        quantity="share of dressings",
        horizon=Horizon(life.horizon, f"day {life.horizon:g}"),
        among=_dressings(life),
    )
    # Of a hundred dressings, as beside it: one way of saying it.
    return replace(drawing, sentence=_ends(life))
