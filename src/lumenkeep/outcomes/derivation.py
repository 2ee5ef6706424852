"""An answer with the way to it: which rule said what, from which entries."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

DECIDED, OTHERWISE, MISSING = "decided", "otherwise", "missing"
LEAD = {DECIDED: "", OTHERWISE: "If instead ", MISSING: "Not known: "}


@dataclass(frozen=True, slots=True)
class Step:
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
class Told:
    """Evidence said in words of its own, with the entries it came from."""

    text: str
    entries: tuple[str, ...] = ()

    def __str__(self) -> str:
        return self.text


@dataclass(slots=True)
class Steps:
    """Steps gathered while an event is worked out."""

    found: list[Step] = field(default_factory=list)

    def because(self, rule: str, text: str, *evidence: object) -> None:
        """Add what a rule decided, and from which entries."""
        entries = (name for one in evidence for name in getattr(one, "entries", ()))
        self.found.append(
            Step(
                rule,
                text,
                tuple(map(str, evidence)),
                entries=tuple(dict.fromkeys(entries)),
            )
        )

    def otherwise(self, rule: str, text: str) -> None:
        """Add what would have to be different for another answer."""
        self.found.append(Step(rule, text, (), OTHERWISE))

    def missing(self, rule: str, text: str) -> None:
        """Add which fact is not known and would decide."""
        self.found.append(Step(rule, text, (), MISSING))


@dataclass(frozen=True, slots=True)
class Event:
    """What one or more blood specimens amount to.

    Parameters
    ----------
    specimens
        Ids.
    type
        "LCBI-1" to "LCBI-3", "MBI-LCBI-1" to "MBI-LCBI-3", "secondary" or "none".
    is_clabsi, is_healthcare_associated
        The verdicts.
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
    """

    specimens: tuple[str, ...]
    type: str
    is_clabsi: bool = False
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
    steps: tuple[Step, ...] = ()

    @property
    def is_event(self) -> bool:
        """Whether it is a primary event of its own."""
        return "LCBI" in self.type and self.added_to is None

    def rules(self) -> tuple[str, ...]:
        """Return the ids of the rules it rests on, in order of use."""
        return tuple(dict.fromkeys(step.rule for step in self.steps))
