"""What people do about a concern: raise it by hand, take it on, hand it on, close it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.entries.kinds.of_concern import OUTCOMES
from lumenkeep.core.policy.watch_rules import WHO
from lumenkeep.core.watch.concerns import Concern
from lumenkeep.core.watch.concerns_life import TIP_CONFIRMED
from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.chart.acting import ToChart, charts
from lumenkeep.ward.chart.line_at_hand import LineAtHand, RulesOfWard, line_at_hand
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.concerns.listing import line_concerns
from lumenkeep.ward.concerns.records import OpenLine
from lumenkeep.ward.site.rights import may_close

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.site.sent import Sent
    from lumenkeep.ward.site.typed_values import Typed

NOTE, TO, OUTCOME = "note", "to", "outcome"
WHAT, SEEN_AT = "what", "seen-at"
LONGEST_WHAT = 200


@dataclass(frozen=True, slots=True)
class ConcernAtHand:
    """A concern, and the line and ward it is about."""

    line: LineAtHand
    concern: Concern


def concerns_of_line(
    at: WardContext, line: LineAtHand, instant: datetime
) -> tuple[Concern, ...]:
    """Return a line's concerns as they stand at an instant (UTC), closed ones last."""
    record = line.record
    known = OpenLine(
        record.key, record.child, record.child_name, record.ward, record.last_entry
    )
    rules = RulesOfWard(at.policies, line.ward)
    entries = at.chart.entries(record.key)
    concerns = line_concerns(known, entries, rules, line.ward).at(instant)
    return tuple(sorted(concerns, key=lambda one: not one.is_open))


def concern_at_hand(at: WardContext, line: str, key: str) -> ConcernAtHand:
    """Return one concern of a line as it stands now, in place or removed.

    Raises
    ------
    ChartError
        ``chart-no-such-line``; ``chart-no-such-concern``: none has this key, perhaps
        because the entry that showed it has been taken back.
    """
    found = line_at_hand(at, line)
    for concern in concerns_of_line(at, found, at.clock.now()):
        if concern.key == key:
            return ConcernAtHand(found, concern)
    raise ChartError(
        [
            Fault(
                "chart-no-such-concern",
                "This line has no such concern; the entry that showed it may have been "
                "taken back.",
                "concern",
                "open the concern from the line’s page",
            )
        ]
    )


def open_concern(at: WardContext, line: str, key: str) -> ConcernAtHand:
    """Return one concern that nobody has closed.

    Raises
    ------
    ChartError
        As `concern_at_hand`; ``chart-concern-closed``: somebody has closed it.
    """
    found = concern_at_hand(at, line, key)
    if not found.concern.is_open:
        raise ChartError(
            [
                Fault(
                    "chart-concern-closed",
                    "This concern has been closed already.",
                    "concern",
                    "read how it was closed; if that was wrong, take the closing back "
                    "from the line’s history",
                )
            ]
        )
    return found


def _act(
    at: WardContext, sent: Sent, found: ConcernAtHand, kind: str, **body: str | None
) -> ToChart:
    """Return one act on a concern, with what it is called and said now."""
    concern, record = found.concern, found.line.record
    named = {"concern": concern.key, "label": concern.label, "says": concern.says}
    whole = {**named, **body}
    now = at.clock.now()
    draft = Draft(record.child, record.key, kind, now, sent.by.key, whole)
    return ToChart(found.line.ward, [draft])


@charts
def raise_concern(at: WardContext, sent: Sent, form: Typed, *, line: str) -> ToChart:
    """Write a concern in somebody's own words; also of a line that is out.

    Typed are ``what``, in a sentence; ``seen-at`` (empty: now); ``note``.
    """
    found = line_at_hand(at, line)
    now = at.clock.now()
    if not any("by-hand" in rule.signs for rule in found.policy.concerns):
        form.fault(
            "no-rule-by-hand",
            "The policy in force does not say who acts on a concern raised by hand.",
            WHAT,
            "tell the charge nurse, and ask the educator to put it into the policy",
        )
    what = form.text(WHAT, "What worries you", needed=True) or ""
    if len(what) > LONGEST_WHAT:
        form.fault(
            "too-long",
            f"What worries you: longer than {LONGEST_WHAT} characters.",
            WHAT,
            "say it in one sentence, and put the rest into the note",
        )
    seen = form.instant(SEEN_AT, "Seen at", found.ward.zone, now) or now
    body = {"what": what, "note": form.text(NOTE, "Note") or ""}
    child = found.record.child
    draft = Draft(child, line, "concern-raised", seen, sent.by.key, body)
    return ToChart(found.ward, [draft])


@charts
def acknowledge_concern(
    at: WardContext, sent: Sent, form: Typed, *, line: str, concern: str
) -> ToChart:
    """Write that somebody has taken the concern of this key on.

    Typed is ``note``, which may be left out. Refused are ``chart-no-such-concern`` and
    ``chart-concern-closed``.
    """
    found = open_concern(at, line, concern)
    note = form.text(NOTE, "Note") or ""
    return _act(at, sent, found, "concern-acknowledged", note=note)


@charts
def hand_concern_on(
    at: WardContext, sent: Sent, form: Typed, *, line: str, concern: str
) -> ToChart:
    """Write to whom the concern goes; refused as `acknowledge_concern`.

    Typed are ``to``: key of a person of the ward, or a role; ``note``: what they must
    know.
    """
    found = open_concern(at, line, concern)
    people = [one.key for one in at.staff.people(found.line.ward.key)]
    to = form.word(TO, "Handed on to", (*people, *WHO), needed=True)
    note = form.text(NOTE, "What they must know", needed=True) or ""
    return _act(at, sent, found, "concern-handed-on", to=to, note=note)


def outcomes_for(concern: Concern) -> dict[str, str]:
    """Return the outcomes a concern may have, with their words."""
    return {
        key: words
        for key, words in OUTCOMES.items()
        if key != TIP_CONFIRMED or concern.found.duty.is_of_length
    }


@charts
def close_concern(
    at: WardContext, sent: Sent, form: Typed, *, line: str, concern: str
) -> ToChart:
    """Write that the concern is over, and how; refused as `acknowledge_concern`.

    Typed are ``outcome``, one of `outcomes_for`, and ``note``: what was done and seen.
    It is ``chart-not-yours`` where the line must not be used and somebody else says
    when it may.
    """
    found = open_concern(at, line, concern)
    if not may_close(sent.by, is_held=found.concern.is_held):
        form.fault(
            "not-yours",
            "While a line must not be used, the charge nurse or the educator closes "
            "the concern.",
            OUTCOME,
            "tell the charge nurse what was found, or hand the concern on",
        )
    known = outcomes_for(found.concern)
    outcome = form.word(OUTCOME, "How it ended", known, needed=True)
    note = form.text(NOTE, "What was done and seen", needed=True) or ""
    return _act(at, sent, found, "concern-closed", outcome=outcome, note=note)
