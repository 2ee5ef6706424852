"""Sane spans: between what a number can be at all, by the part that it plays.

They speak of parts, as "agent.dry" or "film.width", so that no number escapes by
another name. Most rest on judgement, and say so; a hospital that must go beyond one
loosens it by id.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.policy.rules import Rule

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lumenkeep.core.model.reading import Reader
    from lumenkeep.core.policy.read_basics import RuleReader

SANE = "sane"
NUMBER = "number"
"""The part of a number that rules name nowhere by a key: by its own id."""
STEP = "step"
"""The time of a step, by its verb, as "step.press"."""
SCRUB = "agent.scrub"
"""All swabs of an agent together."""
TAGS = ("contains", "signs", "scale", "task", "item")
"""Fields whose words tell which rules of a kind are meant."""


@dataclass(frozen=True, slots=True)
class Sane(Rule):
    """The least and the greatest that a number can sanely be in its part.

    Attributes
    ----------
    of
        Kind of rule and key, as in "agent.dry"; or "number" and the number's id.
    which
        Words that a rule must all have to be meant: substances, signs, tasks, items.
    not_which
        Words of which it must have none.
    low, high
        Ids of numbers; None where there is no such end.
    """

    of: str
    which: tuple[str, ...]
    not_which: tuple[str, ...]
    low: str | None
    high: str | None


def _sane(row: Reader, reading: RuleReader) -> Sane:
    shared = reading.shared(row)
    rule = Sane(
        **shared,
        of=row.text("of", needed=True) or "",
        which=row.words("which", None),
        not_which=row.words("not_which", None),
        low=reading.may(row, "low", "", shared["id"]),
        high=reading.may(row, "high", "", shared["id"]),
    )
    if rule.low is None and rule.high is None:
        row.fault("missing", "Neither 'low' nor 'high' is given.", "low", "add one")
    return rule


SANE_KINDS: Mapping[str, Callable[[Reader, RuleReader], Rule]] = {SANE: _sane}
