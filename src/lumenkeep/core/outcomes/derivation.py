"""An answer with the way to it: which rule said what, from which entries."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

CLABSI, NO_CLABSI, JOINS, OPEN = (
    "clabsi", "not-a-clabsi", "joins-another-event", "cannot-be-said",
)  # fmt: skip
"""What an event comes to, in one word."""
DECIDED, OTHERWISE, MISSING = "decided", "otherwise", "missing"
LEAD = {DECIDED: "", OTHERWISE: "If instead ", MISSING: "Not known: "}


@dataclass(frozen=True, slots=True)
class DerivationStep:
    """One step of a derivation.

    ``kind`` is "decided" (the rule said so), "otherwise" (what would have to be
    different) or "missing" (which fact would decide). ``entries`` are the ids of the
    chart's entries behind the evidence, where the timeline was read from a chart.
    """

    rule: str
    text: str
    evidence: tuple[str, ...] = ()
    kind: str = DECIDED
    entries: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """The step as it is shown."""
        return LEAD[self.kind] + self.text


@dataclass(frozen=True, slots=True)
class EvidenceSaid:
    """Evidence said in words of its own, with the entries it came from."""

    text: str
    entries: tuple[str, ...] = ()

    def __str__(self) -> str:
        return self.text


@dataclass(slots=True)
class Steps:
    """Steps gathered while an event is worked out."""

    found: list[DerivationStep] = field(default_factory=list)

    def because(self, rule: str, text: str, *evidence: object) -> None:
        """Add what a rule decided, and from which entries."""
        entries = (name for one in evidence for name in getattr(one, "entries", ()))
        self.found.append(
            DerivationStep(
                rule,
                text,
                tuple(map(str, evidence)),
                entries=tuple(dict.fromkeys(entries)),
            )
        )

    def otherwise(self, rule: str, text: str) -> None:
        """Add what would have to be different for another answer."""
        self.found.append(DerivationStep(rule, text, (), OTHERWISE))

    def missing(self, rule: str, text: str) -> None:
        """Add which fact is not known and would decide."""
        self.found.append(DerivationStep(rule, text, (), MISSING))


@dataclass(frozen=True, slots=True)
class UnknownFact:
    """A fact that is not known and would decide.

    Parameters
    ----------
    kind, about
        What kind of fact it is, and of what: the key of a line, a specimen, a name.
    rule
        The rule that asks for it.
    clause
        What is not known, as it stands after "it is not known".
    named
        The same with its subject first, for a list.
    answers
        Each answer as it stands after "if instead", and in short.
    ways
        What each answer would make of it.
    settles_clabsi
        Whether it decides if the infection is the line's; else only the rest.
    """

    kind: str
    about: str
    rule: str
    clause: str
    named: str
    answers: tuple[tuple[str, str], ...]
    ways: tuple[str, ...] = ()
    settles_clabsi: bool = True


@dataclass(frozen=True, slots=True)
class Event:
    """What one or more blood specimens amount to.

    Parameters
    ----------
    specimens
        Ids.
    type
        "LCBI-1" to "LCBI-3", "MBI-LCBI-1" to "MBI-LCBI-3", "secondary" or "none".
    clabsi
        Whether it counts for a line; None where that cannot be said.
    is_healthcare_associated
        Whether its date of event lies after the first days of the stay.
    event_on, window, repeat
        Date of event, infection window and repeat timeframe; None where none is set.
    added_to
        First specimen of the event that these specimens joined.
    line_day
        Line-day on the date of event; None where no line counts on it.
    location
        Where it is counted; None where it is not.
    exclusions
        Ids of exclusions that apply.
    organism
        The name reported.
    stratum
        Birthweight group.
    steps
        The derivation.
    unknown
        The facts that would decide.
    open
        Names of the fields that those facts would change; what stands in them then is
        one of several possible values.
    """

    specimens: tuple[str, ...]
    type: str
    clabsi: bool | None = False
    is_healthcare_associated: bool = False
    event_on: date | None = None
    window: tuple[date, date] | None = None
    repeat: tuple[date, date] | None = None
    added_to: str | None = None
    line_day: int | None = None
    location: str | None = None
    exclusions: tuple[str, ...] = ()
    organism: str | None = None
    stratum: str | None = None
    steps: tuple[DerivationStep, ...] = ()
    unknown: tuple[UnknownFact, ...] = ()
    open: frozenset[str] = frozenset()

    @property
    def is_clabsi(self) -> bool:
        """Whether it is known to count for a line; see `verdict` before saying no."""
        return self.clabsi is True

    @property
    def verdict(self) -> str:
        """One of `CLABSI`, `NO_CLABSI`, `JOINS` and `OPEN`."""
        if self.clabsi is None:
            return OPEN
        if self.clabsi:
            return CLABSI
        return JOINS if self.added_to is not None else NO_CLABSI

    @property
    def is_event(self) -> bool:
        """Whether it is a primary event of its own."""
        return "LCBI" in self.type and self.added_to is None

    def rules(self) -> tuple[str, ...]:
        """Return the ids of the rules it rests on, in order of use."""
        return tuple(dict.fromkeys(step.rule for step in self.steps))
