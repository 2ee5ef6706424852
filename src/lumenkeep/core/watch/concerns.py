"""What somebody must act on: a concern as it stands at one instant.

Concerns are computed from the chart and never stored; what people did about them is
on the chart and folded in (`concerns_life`).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

NEW, TAKEN, HANDED_ON, CLOSED = "new", "taken", "handed-on", "closed"


@dataclass(frozen=True, slots=True)
class ConcernAct:
    """Something a person did about a concern: entry, kind, when (UTC), who, body.

    ``label`` and ``says`` are what the concern was called and said then.
    """

    entry: int
    kind: str
    at: datetime
    by: str
    to: str = ""
    outcome: str = ""
    note: str = ""
    label: str = ""
    says: str = ""


@dataclass(frozen=True, slots=True)
class ConcernDuty:
    """What the policy says about acting on a finding, looked up for its day.

    Attributes
    ----------
    rule
        Id of the policy's rule.
    label, because, asks
        What it is called, why it matters, and what is to be done.
    source, how
        Where the rule comes from, and how that is known.
    hold
        The line must not be used until this; empty where it may be.
    who, then
        Role that acts, and the one it goes to as well when it is overdue.
    act_within, settle_within
        From the finding until somebody takes it on; from then until it is closed.
    is_of_length
        Whether a check of the tip may end it.
    """

    rule: str
    label: str
    because: str
    asks: str
    source: str
    how: str
    hold: str
    who: str
    then: str
    act_within: timedelta
    settle_within: timedelta
    is_of_length: bool = False


@dataclass(frozen=True, slots=True)
class FoundConcern:
    """A finding that raises a concern, with every entry it rests on.

    Attributes
    ----------
    key
        Stable name: the rule and the entry that first showed it.
    says, short
        What was found: as a sentence, and in a few words for a strip.
    since, last_at
        When it was first and last seen (UTC).
    entries
        Ids of the entries that show it, oldest first.
    proposal
        Why it may be closed, where a later entry no longer shows it.
    is_orphan
        Whether the entry that showed it has been taken back since.
    detail
        How sure it is, and what it rests on, beside ``says``.
    """

    key: str
    duty: ConcernDuty
    says: str
    short: str
    since: datetime
    last_at: datetime
    entries: tuple[int, ...]
    proposal: str = ""
    is_orphan: bool = False
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Concern:
    """A finding with what has been done about it, seen from one instant.

    Attributes
    ----------
    state
        "new", "taken", "handed-on" or "closed".
    who
        Who must act now: a role, or a person's key once one has taken it on.
    by
        When that must have happened (UTC).
    is_overdue, was_overdue
        Now; and ever, also where it was closed late.
    """

    found: FoundConcern
    acts: tuple[ConcernAct, ...]
    state: str
    who: str
    by: datetime
    is_overdue: bool
    was_overdue: bool

    @property
    def key(self) -> str:
        """Stable name."""
        return self.found.key

    @property
    def rule(self) -> str:
        """Id of the policy's rule."""
        return self.found.duty.rule

    @property
    def label(self) -> str:
        """What it is called on the ward."""
        return self.found.duty.label

    @property
    def says(self) -> str:
        """What was found, as a sentence."""
        return self.found.says

    @property
    def hold(self) -> str:
        """Until when the line must not be used; empty where it may be."""
        return self.found.duty.hold

    @property
    def is_held(self) -> bool:
        """Whether the line must not be used."""
        return bool(self.hold) and self.is_open

    @property
    def is_open(self) -> bool:
        """Whether nobody has closed it."""
        return self.state != CLOSED

    @property
    def since(self) -> datetime:
        """When it was found (UTC)."""
        return self.found.since

    @property
    def entries(self) -> tuple[int, ...]:
        """Ids of the entries it rests on."""
        return self.found.entries

    @property
    def proposal(self) -> str:
        """Why it may be closed; empty where nothing proposes it."""
        return self.found.proposal if self.is_open else ""

    @property
    def goes_to(self) -> str:
        """Whom it goes to as well because it is overdue; empty where it is not."""
        return self.found.duty.then if self.is_overdue else ""

    @property
    def taken_at(self) -> datetime | None:
        """When somebody first took it on (UTC)."""
        return next((a.at for a in self.acts if a.kind == TAKEN), None)

    @property
    def taken_by(self) -> str | None:
        """Who took it on last."""
        return next((a.by for a in reversed(self.acts) if a.kind == TAKEN), None)

    @property
    def closing(self) -> ConcernAct | None:
        """The act that closed it."""
        return self.acts[-1] if self.acts and self.state == CLOSED else None

    @property
    def closed_at(self) -> datetime | None:
        """When it was closed (UTC)."""
        return self.closing.at if self.closing else None

    @property
    def closed_by(self) -> str | None:
        """Who closed it."""
        return self.closing.by if self.closing else None

    @property
    def outcome(self) -> str | None:
        """Word of the outcome it was closed with."""
        return self.closing.outcome if self.closing else None


def pressing_first(concern: Concern) -> tuple[bool, bool, datetime, str]:
    """Return what sorts concerns: overdue first, then held lines, then by when."""
    return (not concern.is_overdue, not concern.is_held, concern.by, concern.key)
