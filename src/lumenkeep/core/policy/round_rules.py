"""The kinds of rule about a line round: what is looked at, and how often it must be."""

from __future__ import annotations

from dataclasses import dataclass

from lumenkeep.core.policy.rules import Rule


@dataclass(frozen=True, slots=True)
class RoundItem(Rule):
    """One thing that a rounder looks at on a line.

    ``label`` is what is as it should be, ``asks`` the question at the bed.
    ``may_not_apply`` says in words when it does not apply, None where it always
    does. ``watched`` is for what can only be seen while somebody works; ``finds`` for
    what, where it is not so, must be said more closely and goes on the chart.
    """

    label: str
    asks: str
    may_not_apply: str | None
    watched: bool
    finds: bool = False


@dataclass(frozen=True, slots=True)
class RoundPlan(Rule):
    """How wide a month's answer may be, and when two people saw the same thing.

    ``half_width`` and ``expected`` name percentages, ``same_look`` an elapsed time.
    ``flatters`` says why observers of the own unit and from outside stand apart, and
    ``flatters_source`` who found it.
    """

    half_width: str
    expected: str
    same_look: str
    flatters: str
    flatters_source: str
