"""One infection of a child: what is proposed, what was decided, which facts would decide.

The determination names them; here each gets the form that answers it. Only a fact that
changes the answer is asked for.

A decision keeps the digest of the proposal it was about. When the chart then says
something new and the proposal changes, the decision is shown as being about the older
one, and the infection asks again.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from lumenkeep.core.outcomes import line_spans, questions
from lumenkeep.core.outcomes.derivation import MISSING, OPEN, Event
from lumenkeep.core.outcomes.timeline import Moment

if TYPE_CHECKING:
    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.outcomes.derivation import UnknownFact

TIP, ACCESS, RESULT, ORGANISM = (
    "line-tip", "line-access", "specimen-result", "organism",
)  # fmt: skip
CHARTED: Mapping[str, str] = {
    line_spans.TIP: TIP,
    line_spans.ACCESS: ACCESS,
    questions.RESULT: RESULT,
    questions.ORGANISM: ORGANISM,
    questions.SAME: ORGANISM,
    questions.BIRTH: "birth",
    questions.STAYS: "stay",
}
"""The form that answers a kind of question; of others an entry is to be corrected."""


@dataclass(frozen=True, slots=True)
class Ask:
    """A fact that would decide.

    Attributes
    ----------
    ways
        What the answer would be, one sentence for each side; empty where not worked.
    charts_as
        Form that answers it; empty where an entry is corrected or a person must say.
    about
        Key of the line, id of the specimen's entry or name of the organism; empty
        where none of these.
    settles_clabsi
        Whether it decides if the infection is the line's; else only its form.
    """

    rule: str
    text: str
    ways: tuple[str, ...] = ()
    charts_as: str = ""
    about: str = ""
    settles_clabsi: bool = True


def asks_of(event: Event) -> tuple[Ask, ...]:
    """Return the facts that would decide an event, those for the line first."""
    asks = [_ask(one) for one in event.unknown]
    told = {ask.text for ask in asks}
    asks += [
        Ask(step.rule, step.text, settles_clabsi=False)
        for step in event.steps
        if step.kind == MISSING and step.text not in told and event.is_clabsi
    ]
    return tuple(asks)


def _ask(unknown: UnknownFact) -> Ask:
    charts_as = CHARTED.get(unknown.kind, "")
    about = unknown.about
    if unknown.kind == questions.SAME:
        about = about.partition("|")[0]
    elif unknown.kind == questions.RESULT:
        about = about.removeprefix("e")
    return Ask(
        unknown.rule,
        f"{unknown.clause}.",
        unknown.ways,
        charts_as,
        about,
        unknown.settles_clabsi,
    )


PROPOSED, ASKS = "proposed", "asks"
CONFIRMED, OVERRIDDEN, LEFT_OPEN = "confirmed", "overridden", "left-open"
BARRIER = "MBI-"
CLABSI_VERDICTS = {"clabsi": False, "clabsi-barrier": True}
"""Verdicts that count for a line, and whether in the mucosal-barrier form."""


@dataclass(frozen=True, slots=True)
class InfectionDecision:
    """What a person decided.

    Attributes
    ----------
    entry
        Id of the entry that says so.
    event
        Id of the entry of the specimen that it names.
    word
        Of `infection_words.DECISIONS`.
    verdict, ward, on
        What it was decided to be; for one confirmed as proposed, as then proposed.
    proposal
        Digest of the proposal it was about.
    proposed
        That proposal in brief, as it was then.
    """

    entry: int
    event: int
    word: str
    verdict: str | None
    ward: str | None
    on: date | None
    because: str
    proposal: str
    proposed: Mapping[str, Any]
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Infection:
    """Blood that grew something, with all that joined it, and what it comes to.

    Attributes
    ----------
    child
        Key.
    event
        Id of the entry of its first blood specimen.
    on
        Date of event; the day of collection where none is set.
    lay_on
        Ward key where the child lay when the blood was taken; None on no ward.
    proposal, joined
        The event as worked out, and what joined it in its repeat timeframe.
    edition
        Protocol year it was worked out by.
    digest
        Of the proposal.
    asks
        Facts that would decide.
    last_decision
        The latest decision on it, about this proposal or an older one.
    """

    child: str
    event: int
    proposed_on: date
    lay_on: str | None
    proposal: Event
    joined: tuple[Event, ...]
    edition: str
    digest: str
    asks: tuple[Ask, ...]
    last_decision: InfectionDecision | None
    first_taken: Moment

    @property
    def decision(self) -> InfectionDecision | None:
        """The decision that stands: about this proposal, and not left open."""
        made = self.last_decision
        if made is None or self.is_old_decision or made.word == LEFT_OPEN:
            return None
        return made

    @property
    def is_old_decision(self) -> bool:
        """Whether the latest decision was about an older proposal."""
        made = self.last_decision
        return made is not None and made.proposal != self.digest

    @property
    def status(self) -> str:
        """Return "proposed", "asks", "confirmed", "overridden" or "left-open"."""
        made = self.last_decision
        if made is not None and not self.is_old_decision:
            return made.word
        return ASKS if self.asks else PROPOSED

    @property
    def proposed_verdict(self) -> str | None:
        """The proposal as a word of `VERDICTS`; None where a fact would decide."""
        if self.proposal.verdict == OPEN:
            return None
        return verdict_of(self.proposal)

    @property
    def verdict(self) -> str | None:
        """What was decided, else what is proposed; None where it cannot be said."""
        made = self.decision
        return made.verdict if made is not None else self.proposed_verdict

    @property
    def is_clabsi(self) -> bool | None:
        """Whether it counts for a line; None where that cannot be said yet."""
        verdict = self.verdict
        return None if verdict is None else verdict in CLABSI_VERDICTS

    @property
    def is_barrier(self) -> bool:
        """Whether it is the mucosal-barrier form, which the main ratio leaves out."""
        return CLABSI_VERDICTS.get(self.verdict or "", False)

    @property
    def ward(self) -> str | None:
        """Key of the ward it is counted for; None where nothing is counted."""
        made = self.decision
        return made.ward if made is not None else self.proposal.location

    @property
    def on(self) -> date:
        """Date of event; the day of collection where none is set."""
        made = self.decision
        return (made.on if made is not None else None) or self.proposed_on

    @property
    def specimens(self) -> tuple[str, ...]:
        """Ids of all its specimens, also of those that joined it."""
        return (
            *self.proposal.specimens,
            *(name for event in self.joined for name in event.specimens),
        )


def verdict_of(event: Event) -> str:
    """Return what an event comes to, as a word of `VERDICTS`.

    Only of one whose verdict can be said.
    """
    if event.type in ("none", "secondary"):
        return event.type
    if event.is_clabsi:
        return "clabsi-barrier" if event.type.startswith(BARRIER) else "clabsi"
    return "primary" if event.is_healthcare_associated else "on-admission"


def brief(event: Event, joined: tuple[Event, ...], edition: str) -> dict[str, Any]:
    """Return a proposal in brief: what a decision is about, and what it keeps."""
    return {
        "edition": edition,
        "type": event.type,
        "clabsi": event.clabsi,
        "healthcare_associated": event.is_healthcare_associated,
        "date_of_event": _iso(event.event_on),
        "window": [_iso(day) for day in event.window or ()],
        "line_day": event.line_day,
        "location": event.location,
        "exclusions": list(event.exclusions),
        "organism": event.organism,
        "specimens": list(event.specimens),
        "joined": [[*one.specimens, f"grew {one.organism}"] for one in joined],
    }


def digest_of(proposed: Mapping[str, Any], asks: tuple[Ask, ...]) -> str:
    """Return a digest that changes when the proposal, or what it asks, does."""
    told = {**proposed, "asks": [[ask.rule, ask.charts_as, ask.about] for ask in asks]}
    text = json.dumps(told, sort_keys=True, ensure_ascii=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()[:DIGEST_LENGTH]


DIGEST_LENGTH = 16


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def decision_of(entry: Entry) -> InfectionDecision:
    """Return the decision that an entry says."""
    body = entry.body
    on = body.get("on")
    return InfectionDecision(
        entry.id,
        int(body["event"]),
        body["decision"],
        body.get("verdict"),
        body.get("ward"),
        date.fromisoformat(on) if on else None,
        body.get("because") or "",
        body["proposal"],
        body.get("proposed") or {},
        entry.by,
        entry.happened_at,
    )
