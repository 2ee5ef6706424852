"""Rules about the child behind a plan: whom to call, how long a mass counts, its film."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.policy.rules import Rule

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lumenkeep.core.model.reading import Reader
    from lumenkeep.core.policy.read_basics import RuleReader


@dataclass(frozen=True, slots=True)
class CallRule(Rule):
    """Whom to call for these children where there is no answer, in place of the set's.

    The first that holds counts.
    """

    who: str


@dataclass(frozen=True, slots=True)
class Weighing(Rule):
    """How long a weighing counts; the first rule that may hold decides.

    After ``counts_for`` (a time) the child may have lost ``may_lose`` (percent) of that
    mass, or gained without limit: a rule that this leaves open asks for a new one.
    After ``asks_after`` (a time; None: never) the mass still counts, and a new weighing
    is asked for beside a plan that it might change.
    """

    counts_for: str
    may_lose: str
    asks_after: str | None


@dataclass(frozen=True, slots=True)
class FilmSize(Rule):
    """The film that suits these children, and how much skin is cleaned for it.

    ``width`` and ``height`` of the film and ``area_low`` to ``area_high`` of the skin
    name lengths.
    """

    width: str
    height: str
    area_low: str
    area_high: str


def _call(row: Reader, reading: RuleReader) -> CallRule:
    return CallRule(**reading.shared(row), who=row.text("who", needed=True) or "")


def _weighing(row: Reader, reading: RuleReader) -> Weighing:
    shared = reading.shared(row)
    return Weighing(
        **shared,
        counts_for=reading.needs(row, "counts_for", "time", shared["id"]),
        may_lose=reading.needs(row, "may_lose", "percent", shared["id"]),
        asks_after=reading.may(row, "asks_after", "time", shared["id"]),
    )


def _film_size(row: Reader, reading: RuleReader) -> FilmSize:
    shared = reading.shared(row)
    id_ = shared["id"]
    return FilmSize(
        **shared,
        width=reading.needs(row, "width", "length", id_),
        height=reading.needs(row, "height", "length", id_),
        area_low=reading.needs(row, "area_low", "length", id_),
        area_high=reading.needs(row, "area_high", "length", id_),
    )


CHILD_KINDS: Mapping[str, Callable[[Reader, RuleReader], Rule]] = {
    "call": _call,
    "weighing": _weighing,
    "film": _film_size,
}
"""The lists of these rules that a file may hold, and what reads one row of each."""
