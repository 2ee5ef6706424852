"""Confirm what is proposed of an infection, decide otherwise with a reason, or leave it.

The proposal stays what the chart makes of it; the decision is an entry beside it that
keeps the proposal it was about.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.entry import Entry
from lumenkeep.core.model.infection_words import DECISIONS, VERDICTS
from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.chart.acting import ToChart, charts
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.infections.infection import (
    CLABSI_VERDICTS,
    CONFIRMED,
    LEFT_OPEN,
    OVERRIDDEN,
    Infection,
    brief,
)
from lumenkeep.ward.infections.infections_of import DECISION, infections_of
from lumenkeep.ward.site.people import WardRecord
from lumenkeep.ward.site.rights import Right, may
from lumenkeep.ward.site.typed_values import typed_day

if TYPE_CHECKING:
    from datetime import date

    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.store.children import ChildRepository
    from lumenkeep.ward.site.sent import Sent
    from lumenkeep.ward.site.typed_values import Typed

SEEN, WORD, VERDICT, WARD, ON, BECAUSE = (
    "proposal", "decision", "verdict", "ward", "on", "because",
)  # fmt: skip
COUNTED = (*CLABSI_VERDICTS, "primary")
"""Verdicts that are counted for a ward."""


@dataclass(frozen=True, slots=True)
class InfectionAtHand:
    """An infection, the entries of its child, and the wards."""

    infection: Infection
    entries: Sequence[Entry]
    wards: Sequence[WardRecord]

    @property
    def ward(self) -> WardRecord | None:
        """The ward it is counted for, else where the child lay."""
        key = self.infection.ward or self.infection.lay_on
        return next((ward for ward in self.wards if ward.key == key), None)


def infection_at_hand(
    children: ChildRepository, wards: Sequence[WardRecord], event: int
) -> InfectionAtHand:
    """Return the infection that a specimen's entry belongs to.

    Raises
    ------
    ChartError
        ``chart-no-such-infection``: no blood of that entry grew anything.
    """
    child = children.child_of_entry(event)
    entries = [] if child is None else children.entries_of_child(child)
    zones = {ward.key: ward.zone for ward in wards}
    for infection in infections_of(child or "", entries, zones):
        if f"e{event}" in infection.specimens:
            return InfectionAtHand(infection, entries, wards)
    raise ChartError(
        [
            Fault(
                "chart-no-such-infection",
                "No blood of that number grew anything.",
                "event",
                "open the infection from the ward's list",
            )
        ]
    )


@charts
def decide_infection(
    at: WardContext, sent: Sent, form: Typed, *, children: ChildRepository, event: int
) -> ToChart:
    """Write a decision on the infection of which ``event`` is a blood specimen's entry.

    Typed are ``proposal``: digest of the proposal that was seen; ``decision``; and for
    one that decides otherwise ``verdict``, ``ward``, ``on`` and ``because``. Refused
    are ``chart-no-such-infection``, ``chart-may-not-decide``,
    ``chart-proposal-changed`` and ``chart-cannot-confirm``.
    """
    at_hand = infection_at_hand(children, at.chart.wards(), event)
    infection, ward = at_hand.infection, at_hand.ward or at_hand.wards[0]
    if not may(sent.by, Right.DECIDE_INFECTIONS):
        form.fault(
            "may-not-decide",
            "Infections are decided by the vascular access educator.",
            WORD,
            "tell her what you know; what is charted is in her list",
        )
    if sent.typed.get(SEEN) != infection.digest:
        form.fault(
            "proposal-changed",
            "The chart says more than when this page was opened, and the proposal has "
            "changed.",
            WORD,
            "open the page again and look at the new proposal",
        )
    now = at.clock.now()
    word = form.word(WORD, "Decision", DECISIONS, needed=True)
    today = ward.day_of(now)
    body = _decided(form, word, at_hand, today) | {
        "event": infection.event,
        SEEN: infection.digest,
        "proposed": brief(infection.proposal, infection.joined, infection.edition),
        WORD: word,
    }
    draft = Draft(infection.child, None, DECISION, now, sent.by.key, body)
    return ToChart(ward, [draft])


def _decided(
    form: Typed, word: str | None, at_hand: InfectionAtHand, today: date
) -> dict[str, Any]:
    infection = at_hand.infection
    because = form.text(BECAUSE, "Why", needed=word == OVERRIDDEN) or ""
    if word == OVERRIDDEN:
        return {**_otherwise(form, at_hand, today), BECAUSE: because}
    verdict = infection.proposed_verdict if word == CONFIRMED else None
    if word == CONFIRMED and verdict is None:
        form.fault(
            "cannot-confirm",
            "A fact is missing that decides, so there is nothing to confirm yet.",
            WORD,
            "chart the fact, decide otherwise with a reason, or leave it open",
        )
    if word == LEFT_OPEN or verdict is None:
        return {VERDICT: None, WARD: None, ON: None, BECAUSE: because}
    return {
        VERDICT: verdict,
        WARD: infection.proposal.location,
        ON: infection.proposed_on.isoformat(),
        BECAUSE: because,
    }


def _otherwise(form: Typed, at_hand: InfectionAtHand, today: date) -> dict[str, Any]:
    verdict = form.word(VERDICT, "What it is", VERDICTS, needed=True)
    is_counted = verdict in COUNTED
    wards = tuple(ward.key for ward in at_hand.wards)
    ward = form.word(WARD, "Counted for", wards, needed=is_counted)
    on = typed_day(form, ON, "Date of event", today, needed=is_counted)
    return {
        VERDICT: verdict,
        WARD: ward if is_counted else None,
        ON: on.isoformat() if on and is_counted else None,
    }
