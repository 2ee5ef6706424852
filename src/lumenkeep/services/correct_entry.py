"""Correct an entry by a new one that names it, or take it back."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from lumenkeep.errors import ChartError, Fault
from lumenkeep.model.chart import line_state
from lumenkeep.model.words import FINDINGS
from lumenkeep.planning import plan_change
from lumenkeep.services.chart_facts import read_weight
from lumenkeep.services.chart_finding import FINDINGS_FIELD, FOUND_AT
from lumenkeep.services.chart_for_infection import specimens_in_words
from lumenkeep.services.infection_questions import FORMS
from lumenkeep.services.line_at_hand import LineAtHand, line_at_hand
from lumenkeep.services.may import may_correct
from lumenkeep.services.ports import Draft
from lumenkeep.services.read_change import read_change
from lumenkeep.services.read_infection import read_infection_entry
from lumenkeep.services.typed_values import Typed, after_insertion

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import datetime

    from lumenkeep.model.entry import Entry
    from lumenkeep.services.ports import Chart, Clock, Policies, StaffRecord

CORRECTABLE = ("dressing-change", "finding", "weight", *FORMS)
"""Kinds that can be typed anew; any other is taken back and charted again."""

BECAUSE_WRONG = "because-wrong"


def correct_entry(
    chart: Chart,
    policies: Policies,
    clock: Clock,
    *,
    line: str,
    entry: int,
    typed: Mapping[str, str],
    by: StaffRecord,
    chosen: Collection[str] = (),
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write an entry that replaces a wrong one; what was typed is checked as ever.

    Parameters
    ----------
    entry
        Id of the wrong entry.
    typed
        All fields anew, as for the form the entry came from.
    chosen
        Findings, where a finding is corrected.

    Raises
    ------
    ChartError
        Every fault at once; ``chart-no-such-entry``, ``chart-corrected-already``,
        ``chart-not-yours``, ``chart-not-correctable``.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    wrong, entries = _wrong_entry(chart, line, entry, by)
    if wrong.kind not in CORRECTABLE:
        raise ChartError(
            [
                _fault(
                    "not-correctable",
                    f"A '{wrong.kind}' cannot be typed anew.",
                    "take it back and chart it again",
                )
            ]
        )
    found = _without(line_at_hand(chart, policies, line), wrong, entries, clock.now())
    form = Typed(typed)
    if wrong.kind in FORMS:
        at, body = _read_infection(form, found, wrong, entries, clock.now())
    else:
        at, body = _read(form, found, wrong, chosen, clock.now())
    form.raise_faults()
    draft = Draft(wrong.child, wrong.line, wrong.kind, at, by.key, body, wrong.id)
    return chart.append(
        [draft],
        found.ward.policy_set,
        ward=found.ward.key,
        submission=submission,
    )


def withdraw_entry(
    chart: Chart,
    policies: Policies,
    *,
    line: str,
    entry: int,
    typed: Mapping[str, str],
    by: StaffRecord,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write that an entry is taken back; ``because-wrong`` must say why.

    Raises
    ------
    ChartError
        As for `correct_entry`; ``chart-missing`` without a reason, and
        ``chart-not-correctable`` for the insertion, on which all else stands.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    wrong, _ = _wrong_entry(chart, line, entry, by)
    found = line_at_hand(chart, policies, line)
    form = Typed(typed)
    because = form.text(BECAUSE_WRONG, "Why it is taken back", needed=True)
    if wrong.kind in ("line-inserted", "withdrawn"):
        form.faults.append(
            _fault(
                "not-correctable",
                f"A '{wrong.kind}' cannot be taken back here.",
                "ask the vascular access educator",
            )
        )
    form.raise_faults()
    draft = Draft(
        wrong.child, wrong.line, "withdrawn", wrong.happened_at, by.key,
        {"because": because}, wrong.id,
    )  # fmt: skip
    return chart.append(
        [draft],
        found.ward.policy_set,
        ward=found.ward.key,
        submission=submission,
    )


def _wrong_entry(
    chart: Chart, line: str, entry: int, by: StaffRecord
) -> tuple[Entry, Sequence[Entry]]:
    entries = chart.entries(line)
    wrong = next((e for e in entries if e.id == entry), None)
    if wrong is None:
        raise ChartError(
            [
                _fault(
                    "no-such-entry",
                    f"This line has no entry {entry}.",
                    "open the entry from the line's history",
                )
            ]
        )
    later = next((e for e in entries if e.corrects == entry), None)
    if later is not None:
        raise ChartError(
            [
                _fault(
                    "corrected-already",
                    f"Entry {entry} has been corrected already, by entry {later.id}.",
                    f"look at entry {later.id}; if it is wrong too, correct that one",
                )
            ]
        )
    if not may_correct(by, wrong):
        raise ChartError(
            [
                _fault(
                    "not-yours",
                    f"Entry {entry} was written by somebody else.",
                    "ask the person who wrote it, or the charge nurse",
                )
            ]
        )
    return wrong, entries


def _without(
    found: LineAtHand, wrong: Entry, entries: Sequence[Entry], now: datetime
) -> LineAtHand:
    """Return the line as it is without the wrong entry, so it is not held against it."""
    others = [e for e in entries if e.id != wrong.id]
    state = line_state(others, now, found.ward.zone)
    return replace(found, record=replace(found.record, state=state))


def _read(
    form: Typed,
    found: LineAtHand,
    wrong: Entry,
    chosen: Collection[str],
    now: datetime,
) -> tuple[datetime, dict[str, Any]]:
    if wrong.kind == "dressing-change":
        items = plan_change(found.record.state.case, now, found.policy).chart
        read = read_change(form, items, found, now)
        return read.at or wrong.happened_at, read.body
    if wrong.kind == "weight":
        return wrong.happened_at, {"g": read_weight(form, found, wrong.happened_at)}
    at = form.instant(FOUND_AT, "Found at", found.ward.zone, now) or wrong.happened_at
    after_insertion(form, FOUND_AT, at, found.record.state)
    if not chosen:
        form.fault(
            "missing",
            "Nothing is chosen.",
            FINDINGS_FIELD,
            "choose what was found, or take the entry back",
        )
    findings = form.words(FINDINGS_FIELD, "Found", chosen, tuple(FINDINGS))
    return at, {"findings": findings, "note": form.text("note", "Note") or ""}


def _read_infection(
    form: Typed,
    found: LineAtHand,
    wrong: Entry,
    entries: Sequence[Entry],
    now: datetime,
) -> tuple[datetime, dict[str, Any]]:
    zone = found.ward.zone
    specimens = specimens_in_words(entries, zone)
    at, body = read_infection_entry(form, wrong.kind, zone, now, specimens)
    return at or wrong.happened_at, body


def _fault(code: str, what: str, mend: str) -> Fault:
    return Fault(f"chart-{code}", what, "entry", mend)
