"""What people do about a concern: raise it by hand, take it on, hand it on, close it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.kinds.of_concern import OUTCOMES
from lumenkeep.core.policy.watch_rules import WHO
from lumenkeep.core.watch.concerns import Concern
from lumenkeep.core.watch.concerns_life import TIP_CONFIRMED
from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.chart.line_at_hand import LineAtHand, RulesOfWard, line_at_hand
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.concerns.listing import line_concerns
from lumenkeep.ward.concerns.records import OpenLine
from lumenkeep.ward.site.rights import may_close
from lumenkeep.ward.site.typed_values import Typed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.store.policies import PoliciesInForce
    from lumenkeep.ward.chart.store.repository import ChartRepository, StaffRepository
    from lumenkeep.ward.site.people import Clock, StaffRecord

NOTE = "note"


@dataclass(frozen=True, slots=True)
class ConcernAtHand:
    """A concern, and the line and ward it is about."""

    line: LineAtHand
    concern: Concern


def concerns_of_line(
    chart: ChartRepository, policies: PoliciesInForce, line: LineAtHand, at: datetime
) -> tuple[Concern, ...]:
    """Return every concern of a line as it stands at ``at`` (UTC), closed ones last."""
    record = line.record
    known = OpenLine(
        record.key, record.child, record.child_name, record.ward, record.last_entry
    )
    rules = RulesOfWard(policies, line.ward)
    entries = chart.entries(record.key)
    concerns = line_concerns(known, entries, rules, line.ward).at(at)
    return tuple(sorted(concerns, key=lambda one: not one.is_open))


def concern_at_hand(
    chart: ChartRepository, policies: PoliciesInForce, line: str, key: str, at: datetime
) -> ConcernAtHand:
    """Return one concern of a line, in place or removed.

    Raises
    ------
    ChartError
        ``chart-no-such-line``; ``chart-no-such-concern``: none has this key, perhaps
        because the entry that showed it has been taken back.
    """
    found = line_at_hand(chart, policies, line)
    for concern in concerns_of_line(chart, policies, found, at):
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


def open_concern(
    chart: ChartRepository, policies: PoliciesInForce, line: str, key: str, at: datetime
) -> ConcernAtHand:
    """Return one concern that nobody has closed.

    Raises
    ------
    ChartError
        As `concern_at_hand`; ``chart-concern-closed``: somebody has closed it.
    """
    found = concern_at_hand(chart, policies, line, key, at)
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


def chart_act(
    chart: ChartRepository,
    found: ConcernAtHand,
    kind: str,
    at: datetime,
    by: str,
    body: dict[str, Any],
    submission: str | None,
) -> Sequence[Entry]:
    """Write one act on a concern, with what it is called and said now."""
    concern, record = found.concern, found.line.record
    whole = {
        "concern": concern.key,
        "label": concern.label,
        "says": concern.says,
        **body,
    }
    draft = Draft(record.child, record.key, kind, at, by, whole)
    ward = found.line.ward
    return chart.append([draft], ward.policy_set, ward=ward.key, submission=submission)


WHAT, SEEN_AT = "what", "seen-at"
LONGEST_WHAT = 200


def raise_concern(
    chart: ChartRepository,
    policies: PoliciesInForce,
    clock: Clock,
    *,
    line: str,
    typed: Mapping[str, str],
    by: StaffRecord,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write a concern in somebody's own words; also of a line that is out.

    Parameters
    ----------
    typed
        ``what``, in a sentence; ``seen-at`` (empty: now); ``note``.

    Raises
    ------
    ChartError
        Every fault at once.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    found = line_at_hand(chart, policies, line)
    now = clock.now()
    form = Typed(typed)
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
    at = form.instant(SEEN_AT, "Seen at", found.ward.zone, now) or now
    note = form.text(NOTE, "Note") or ""
    form.raise_faults()
    body = {"what": what, "note": note}
    draft = Draft(found.record.child, line, "concern-raised", at, by.key, body)
    return chart.append(
        [draft], found.ward.policy_set, ward=found.ward.key, submission=submission
    )


def acknowledge_concern(
    chart: ChartRepository,
    policies: PoliciesInForce,
    clock: Clock,
    *,
    line: str,
    concern: str,
    typed: Mapping[str, str],
    by: StaffRecord,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write that somebody has taken the concern on.

    Parameters
    ----------
    concern
        Its key.
    typed
        ``note``, which may be left out.

    Raises
    ------
    ChartError
        ``chart-no-such-concern``, ``chart-concern-closed``, or the note is too long.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    now = clock.now()
    found = open_concern(chart, policies, line, concern, now)
    form = Typed(typed)
    note = form.text(NOTE, "Note") or ""
    form.raise_faults()
    return chart_act(
        chart, found, "concern-acknowledged", now, by.key, {"note": note}, submission
    )


TO = "to"


def hand_concern_on(
    chart: ChartRepository,
    policies: PoliciesInForce,
    staff: StaffRepository,
    clock: Clock,
    *,
    line: str,
    concern: str,
    typed: Mapping[str, str],
    by: StaffRecord,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write to whom the concern goes.

    Parameters
    ----------
    typed
        ``to``: key of a person of the ward, or a role; ``note``: what they must know.

    Raises
    ------
    ChartError
        Every fault at once; ``chart-no-such-concern``, ``chart-concern-closed``.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    now = clock.now()
    found = open_concern(chart, policies, line, concern, now)
    form = Typed(typed)
    people = [one.key for one in staff.people(found.line.ward.key)]
    to = form.word(TO, "Handed on to", (*people, *WHO), needed=True)
    note = form.text(NOTE, "What they must know", needed=True) or ""
    form.raise_faults()
    body = {"to": to, "note": note}
    return chart_act(chart, found, "concern-handed-on", now, by.key, body, submission)


OUTCOME = "outcome"


def outcomes_for(concern: Concern) -> dict[str, str]:
    """Return the outcomes a concern may have, with their words."""
    return {
        key: words
        for key, words in OUTCOMES.items()
        if key != TIP_CONFIRMED or concern.found.duty.is_of_length
    }


def close_concern(
    chart: ChartRepository,
    policies: PoliciesInForce,
    clock: Clock,
    *,
    line: str,
    concern: str,
    typed: Mapping[str, str],
    by: StaffRecord,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write that the concern is over, and how.

    Parameters
    ----------
    typed
        ``outcome``, one of `outcomes_for`, and ``note``: what was done and seen.

    Raises
    ------
    ChartError
        Every fault at once; ``chart-no-such-concern``, ``chart-concern-closed``, and
        ``chart-not-yours`` where the line must not be used and somebody else says
        when it may.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    now = clock.now()
    found = open_concern(chart, policies, line, concern, now)
    form = Typed(typed)
    if not may_close(by, is_held=found.concern.is_held):
        form.fault(
            "not-yours",
            "While a line must not be used, the charge nurse or the educator closes "
            "the concern.",
            OUTCOME,
            "tell the charge nurse what was found, or hand the concern on",
        )
    outcome = form.word(
        OUTCOME, "How it ended", outcomes_for(found.concern), needed=True
    )
    note = form.text(NOTE, "What was done and seen", needed=True) or ""
    form.raise_faults()
    body = {"outcome": outcome, "note": note}
    return chart_act(chart, found, "concern-closed", now, by.key, body, submission)
