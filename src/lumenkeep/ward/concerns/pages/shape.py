"""A concern as pages show it: what, what to do, who must act by when, what was done."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import quote

from django.urls import reverse

from lumenkeep.core.entries.kinds.of_concern import OUTCOMES
from lumenkeep.core.policy.watch_rules import WHO
from lumenkeep.core.watch.concerns import CLOSED, HANDED_ON, TAKEN
from lumenkeep.text.moments import capital, moment_in_words, span_in_words

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime, tzinfo

    from lumenkeep.core.watch.concerns import Act, Concern

HOW_WORDS = {
    "memory": ", from memory, to be confirmed",
    "common-practice": "",
}


@dataclass(frozen=True, slots=True)
class ActRow:
    """Something that was done about a concern, in words."""

    what: str
    when: str
    note: str


@dataclass(frozen=True, slots=True)
class ConcernCard:
    """A concern in words.

    Attributes
    ----------
    hold
        That the line must not be used, and until when; empty where it may be.
    state
        Who must act by when, or how it was closed.
    goes_to
        Whom it goes to as well because it is overdue; empty where it is not.
    rests
        Where the rule comes from.
    """

    key: str
    label: str
    says: str
    detail: str
    hold: str
    asks: str
    state: str
    goes_to: str
    proposal: str
    found: str
    because: str
    rests: str
    href: str
    take_href: str
    is_open: bool
    is_overdue: bool
    is_taken: bool
    acts: tuple[ActRow, ...]

    @property
    def mark(self) -> str:
        """Name of the style it has: overdue, held, open or closed."""
        if not self.is_open:
            return "is-closed"
        if self.is_overdue:
            return "is-overdue"
        return "is-held" if self.hold else "is-open"


def concern_card(
    concern: Concern, line: str, now: datetime, zone: tzinfo, names: Mapping[str, str]
) -> ConcernCard:
    """Return a concern in words.

    Parameters
    ----------
    line
        Key of the line it is about.
    names
        Names of staff by key, for the screen.
    """
    duty = concern.found.duty
    key = quote(concern.key, safe=":")
    hold = f"Do not use the line until {duty.hold}." if concern.is_held else ""
    goes_to = ""
    if concern.is_overdue:
        late = span_in_words(now - concern.by)
        goes_to = f"Overdue {late}: it goes to {who_words(duty.then, names)} too."
    rests = duty.source + HOW_WORDS.get(duty.how, "") if duty.source else ""
    return ConcernCard(
        key=concern.key,
        label=concern.label,
        says=concern.says,
        detail=concern.found.detail,
        hold=hold,
        asks=duty.asks if concern.is_open else "",
        state=state_words(concern, now, zone, names),
        goes_to=goes_to,
        proposal=concern.proposal,
        found=f"Found {moment_in_words(concern.since, now, zone)}",
        because=duty.because,
        rests=rests,
        href=reverse("concern", args=[line, key]),
        take_href=reverse("concern-take", args=[line, key]),
        is_open=concern.is_open,
        is_overdue=concern.is_overdue,
        is_taken=concern.state == TAKEN,
        acts=tuple(_act_row(act, now, zone, names) for act in concern.acts),
    )


def who_words(who: str, names: Mapping[str, str]) -> str:
    """Return a role or a person in words."""
    return WHO.get(who) or names.get(who, who)


def state_words(
    concern: Concern, now: datetime, zone: tzinfo, names: Mapping[str, str]
) -> str:
    """Return who must act by when, or how it was closed."""
    by = moment_in_words(concern.by, now, zone)
    who = who_words(concern.who, names)
    if concern.state == CLOSED and concern.closing is not None:
        at = moment_in_words(concern.closing.at, now, zone)
        outcome = OUTCOMES.get(concern.closing.outcome, concern.closing.outcome)
        by_whom = names.get(concern.closing.by, concern.closing.by)
        return f"Closed {at} by {by_whom}: {outcome[:1].lower()}{outcome[1:]}"
    if concern.state == TAKEN:
        return f"{capital(who)} has taken it on, to settle it by {by}"
    if concern.state == HANDED_ON:
        return f"Handed on: {who} takes it on by {by}"
    return f"{capital(who)} takes it on by {by}"


def _act_row(act: Act, now: datetime, zone: tzinfo, names: Mapping[str, str]) -> ActRow:
    by = names.get(act.by, act.by)
    if act.kind == TAKEN:
        what = f"{by} took it on"
    elif act.kind == HANDED_ON:
        what = f"{by} handed it on to {who_words(act.to, names)}"
    else:
        outcome = OUTCOMES.get(act.outcome, act.outcome)
        what = f"{by} closed it: {outcome[:1].lower()}{outcome[1:]}"
    return ActRow(what, moment_in_words(act.at, now, zone), act.note)
