"""The child, the line and the people at the bedside, as plain frozen values.

A `Case` is what the engines are asked about. It is the same thing whether it came
from a file, from the chart or from a test; anything may be unknown.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, tzinfo

from lumenkeep.core.model.allergy import NOTHING_TOLD, Allergies
from lumenkeep.core.model.facts import NOT_GIVEN, Fact, Unknown
from lumenkeep.core.model.quantities import Gestation
from lumenkeep.core.model.times import Birth


@dataclass(frozen=True, slots=True)
class Weight:
    """One weighing: when (UTC) and how much (grams)."""

    at: datetime
    grams: float


@dataclass(frozen=True, slots=True)
class Child:
    """What the planner may know of a child; never a name or a record number.

    Parameters
    ----------
    born
        Birth, to the minute or to the day.
    gestation_at_birth
        Completed gestation at birth.
    weights
        All weighings, oldest first. Empty means none charted.
    sensitivities
        Substances the child does not tolerate; an empty set means asked and none.
    allergies
        What was said of them word for word, and what of it is still in doubt.
    skin_at_site
        "intact" or "broken" at every site of the child, where nobody said which.
    unit
        Kind of unit the child lies in, from `words.UNITS`.
    """

    born: Fact[Birth] = NOT_GIVEN
    gestation_at_birth: Fact[Gestation] = NOT_GIVEN
    weights: tuple[Weight, ...] = ()
    sensitivities: Fact[frozenset[str]] = NOT_GIVEN
    skin_at_site: Fact[str] = NOT_GIVEN
    unit: Fact[str] = NOT_GIVEN
    allergies: Allergies = NOTHING_TOLD


@dataclass(frozen=True, slots=True)
class Finding:
    """Something seen on a dressing, and when (UTC; None: at the time of asking)."""

    kind: str
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Dressing:
    """The dressing on a line: kind, since when (UTC), and what was found since.

    ``is_off`` says that the last one came off and none was put on: kind and instant
    are then unknown, and nobody is asked for them.
    """

    kind: Fact[str] = NOT_GIVEN
    applied: Fact[datetime] = NOT_GIVEN
    findings: Fact[tuple[Finding, ...]] = NOT_GIVEN
    is_off: bool = False


@dataclass(frozen=True, slots=True)
class InfusionSet:
    """An administration set: what runs through it, and its last change (UTC)."""

    kind: Fact[str] = NOT_GIVEN
    changed: Fact[datetime] = NOT_GIVEN


@dataclass(frozen=True, slots=True)
class Line:
    """One central line and what hangs on it; instants in UTC, lengths in mm.

    Parameters
    ----------
    skin_at_site
        "intact" or "broken" where this line goes in; what is said of the child's
        sites in general counts only while nothing is said of this one.
    needle_in
        Whether a port has a needle in it.
    in_use
        Whether anything runs or is given through the line.
    tunnelled
        Whether the line runs under the skin before it enters the vein; asked of a
        haemodialysis line, whose kind does not say it.
    patency
        From `words.PATENCY`: the worst of the line's lumens.
    done
        When each further recurring task was last done (UTC), by its name.
    """

    kind: Fact[str] = NOT_GIVEN
    site: Fact[str] = NOT_GIVEN
    inserted: Fact[datetime] = NOT_GIVEN
    lumens: Fact[int] = NOT_GIVEN
    external_length_mm: Fact[float] = NOT_GIVEN
    stitches: Fact[int] = NOT_GIVEN
    dressing: Dressing = field(default_factory=Dressing)
    connectors_changed: Fact[datetime] = NOT_GIVEN
    sets: Fact[tuple[InfusionSet, ...]] = NOT_GIVEN
    needle_changed: Fact[datetime] = NOT_GIVEN
    reviewed: Fact[datetime] = NOT_GIVEN
    inspected: Fact[datetime] = NOT_GIVEN
    skin_at_site: Fact[str] = NOT_GIVEN
    needle_in: Fact[bool] = NOT_GIVEN
    in_use: Fact[bool] = NOT_GIVEN
    tunnelled: Fact[bool] = NOT_GIVEN
    patency: Fact[str] = NOT_GIVEN
    done: tuple[tuple[str, datetime], ...] = ()


@dataclass(frozen=True, slots=True)
class Person:
    """One of the two people at the bedside: the size of glove that fits, as "6.5"."""

    glove: Fact[str] = NOT_GIVEN


@dataclass(frozen=True, slots=True)
class People:
    """The sterile person and the second person."""

    operator: Person = field(default_factory=Person)
    assistant: Person = field(default_factory=Person)


@dataclass(frozen=True, slots=True)
class Case:
    """One child, one line, two people, and the zone whose wall clock counts.

    Parameters
    ----------
    known_since
        Since when a fact that rules speak of is as it is (UTC), by the rules' name of
        it; each substance by `substance_fact`. One that is not named has been so for
        as long as anybody knows.
    """

    child: Child = field(default_factory=Child)
    line: Line = field(default_factory=Line)
    people: People = field(default_factory=People)
    zone: tzinfo = UTC
    known_since: tuple[tuple[str, datetime], ...] = field(default=(), compare=False)


SENSITIVITIES = "sensitivities"


def substance_fact(word: str) -> str:
    """Return the name under which a substance is kept in `Case.known_since`."""
    return f"{SENSITIVITIES}:{word}"


def skin_at_site(case: Case) -> Fact[str]:
    """Return the skin where the line goes in: "intact", "broken" or unknown."""
    return skin_of(case.child, case.line)


def skin_of(child: Child, line: Line) -> Fact[str]:
    """Return the skin where a child's line goes in: "intact", "broken" or unknown."""
    own = line.skin_at_site
    return child.skin_at_site if isinstance(own, Unknown) else own


def mass_at(child: Child, at: datetime) -> Fact[Weight]:
    """Return the last weighing not later than ``at``.

    Returns
    -------
    Weight or Unknown
        Unknown when nothing was charted by then: a later weighing says nothing
        about what could be known at ``at``.
    """
    best: Weight | None = None
    for weight in child.weights:
        if weight.at <= at and (best is None or weight.at >= best.at):
            best = weight
    if best is not None:
        return best
    if child.weights:
        return Unknown("not weighed before this time")
    return NOT_GIVEN
