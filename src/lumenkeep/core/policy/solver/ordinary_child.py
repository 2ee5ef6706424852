"""What an ordinary child is, for examples that are easy to believe.

Nothing is decided by this: it only chooses which of the children who show a fault is
shown. Wishes stand in groups, the weightiest first; a group that cannot be had whole is
tried one wish after the other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import z3

from lumenkeep.core.model.closed_facts import CLOSED_FACTS
from lumenkeep.core.policy.solver.child import CHOICES, MINUTES_PER_DAY

if TYPE_CHECKING:
    from lumenkeep.core.model.closed_facts import ClosedFact
    from lumenkeep.core.policy.solver.child import SymbolicChild

WEIGHTIEST = ("skin_at_site", "patency", "line_kind", "site")
"""Facts whose usual answers are wished for first; the others follow in their order."""
TERM = (39 * 7, 40 * 7)
USUAL_GRAMS = (
    (0, 2800, 4200),
    (28, 3500, 5500),
    (91, 5000, 7500),
    (182, 6500, 9500),
    (365, 8500, 12_000),
    (730, 11_000, 16_000),
    (1826, 16_000, 24_000),
    (3652, 26_000, 42_000),
    (5479, 45_000, 75_000),
)
"""From which day of life on which masses (g) surprise nobody, as growth charts have it."""
EARLY, EARLY_GRAMS, EARLY_DAYS = (25 * 7, 30 * 7), (650, 1400), (3, 40)
"""Gestation (days), mass (g) and age (days) of an early child that is cared for."""
YOUNG_DAYS = 10 * 365
ROUND_GRAMS = 100
HOUR = 60


def wishes(child: SymbolicChild) -> list[list[z3.BoolRef]]:
    """Return what is ordinary in a child and its line, in groups, the weightiest first.

    Of findings and of what is not tolerated the lists begin with the most usual, which
    are therefore the last to be wished away.
    """
    return [
        _known(child),
        [z3.Or(_born_in_time(child), _born_early(child))],
        *(
            [z3.Not(has) for has in reversed(members.values())]
            for members in (child.members["sensitivities"], child.members["findings"])
        ),
        [
            child.choice[fact.name] == CHOICES[fact.name].index(fact.usual)
            for fact in sorted(CLOSED_FACTS, key=_weight)
        ],
        [child.lumens == 1],
        list(_within(child.gestation, TERM)),
        [_usual_mass(child)],
        [_round_mass(child)],
        [child.age <= YOUNG_DAYS * MINUTES_PER_DAY],
        [_whole(child.age, MINUTES_PER_DAY)],
        [_whole(child.age, HOUR)],
        [z3.IsInt(child.mass)],
    ]


def _weight(fact: ClosedFact) -> int:
    """Return how soon a fact's usual answer is wished for."""
    is_first = fact.name in WEIGHTIEST
    return WEIGHTIEST.index(fact.name) if is_first else len(WEIGHTIEST)


def _born_in_time(child: SymbolicChild) -> z3.BoolRef:
    return z3.And(*_within(child.gestation, TERM), _usual_mass(child))


def _born_early(child: SymbolicChild) -> z3.BoolRef:
    """Return that a small child is one that was born early, some days ago."""
    unit = CHOICES["unit"].index("newborn-intensive-care")
    return z3.And(
        *_within(child.gestation, EARLY),
        *_within(child.mass, EARLY_GRAMS),
        *_within(child.age, tuple(days * MINUTES_PER_DAY for days in EARLY_DAYS)),
        child.choice["unit"] == unit,
    )


def _within(value: z3.ArithRef, ends: tuple[int, ...]) -> tuple[z3.BoolRef, z3.BoolRef]:
    return value >= ends[0], value <= ends[1]


def _known(child: SymbolicChild) -> list[z3.BoolRef]:
    """Return that each fact is charted, the birth to the minute and the day of gestation."""
    return [
        child.age_known,
        child.age_low == child.age_high,
        child.gestation_known,
        child.gestation_low == child.gestation_high,
        child.mass_known,
        child.lumens_known == child.lumens,
        *(child.choice_known[fact] == child.choice[fact] for fact in CHOICES),
        *child.set_known.values(),
    ]


def _usual_mass(child: SymbolicChild) -> z3.BoolRef:
    ends = [days for days, _, _ in USUAL_GRAMS[1:]]
    parts = []
    for place, (days, low, high) in enumerate(USUAL_GRAMS):
        inside = [child.age >= days * MINUTES_PER_DAY]
        if place < len(ends):
            inside.append(child.age < ends[place] * MINUTES_PER_DAY)
        held = z3.And(child.mass >= low, child.mass <= high)
        parts.append(z3.Implies(z3.And(inside), held))
    return z3.And(parts)


def _round_mass(child: SymbolicChild) -> z3.BoolRef:
    count = z3.Int(f"round_grams{child.tag}")
    return child.mass == ROUND_GRAMS * z3.ToReal(count)


def _whole(value: z3.ArithRef, unit: int) -> z3.BoolRef:
    return z3.IsInt(value / unit)
