"""Correct an entry by a new one that names it, or take it back: every kind alike."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries import answers as a
from lumenkeep.core.entries import kind_of
from lumenkeep.core.model.allergy import told_in_body
from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.chart.acting import ToChart, charts
from lumenkeep.ward.chart.charting.bedside import bedside
from lumenkeep.ward.chart.charting.chart_entry import drafts_of, read_form
from lumenkeep.ward.chart.charting.form_fields import WHEN
from lumenkeep.ward.chart.charting.substances import answers_before
from lumenkeep.ward.chart.line_at_hand import line_at_hand
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.site.rights import may_correct

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import tzinfo

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.charting.bedside import FormContext
    from lumenkeep.ward.chart.charting.form_fields import FormField
    from lumenkeep.ward.chart.store.repository import ChartRepository
    from lumenkeep.ward.site.people import StaffRecord
    from lumenkeep.ward.site.sent import Sent
    from lumenkeep.ward.site.typed_values import Typed

BECAUSE_WRONG = "because-wrong"
CARRIED = ("guide", "noted", "do_not_use_known")
"""What a correction by hand takes over: how it went, and why one went on."""


def is_typed_anew(entry: Entry) -> bool:
    """Return whether an entry can be corrected by typing it again."""
    kind = kind_of(entry.kind)
    return kind is not None and kind.form is not None


def may_take_back(entry: Entry) -> bool:
    """Return whether an entry can be taken back."""
    kind = kind_of(entry.kind)
    return kind is not None and kind.may_withdraw


@charts
def correct_entry(
    at: WardContext,
    sent: Sent,
    form: Typed,
    *,
    line: str,
    entry: int,
    at_bed: FormContext | None = None,
) -> ToChart:
    """Write the correction of an entry; whatever was derived from it follows.

    ``at_bed`` is the line as the form has just read it; None: it is read here. Refused
    are ``chart-no-such-entry``, ``chart-corrected-already``, ``chart-not-yours`` and
    ``chart-not-correctable``.
    """
    wrong = wrong_entry(at.chart, line, entry, sent.by)
    kind = kind_of(wrong.kind)
    if kind is None or kind.form is None:
        raise ChartError(
            [
                _fault(
                    "not-correctable",
                    f"A '{wrong.kind}' cannot be typed anew.",
                    "take it back and chart it again",
                )
            ]
        )
    if at_bed is None:
        at_bed = bedside(at, line_at_hand(at, line), wrong=wrong)
    read, when = read_form(kind, at_bed, form, sent.ticked)
    kept = {key: wrong.body[key] for key in CARRIED if key in wrong.body}
    read.body.update({key: v for key, v in kept.items() if key not in read.body})
    drafts = drafts_of(kind, at_bed, read, when, sent.by.key)
    return ToChart(at_bed.line.ward, drafts)


@charts
def withdraw_entry(
    at: WardContext, sent: Sent, form: Typed, *, line: str, entry: int
) -> ToChart:
    """Write that an entry is taken back; ``because-wrong`` must say why.

    Refused as `correct_entry`.
    """
    wrong = wrong_entry(at.chart, line, entry, sent.by)
    found = line_at_hand(at, line)
    because = form.text(BECAUSE_WRONG, "Why it is taken back", needed=True)
    if not may_take_back(wrong):
        form.faults.append(
            _fault(
                "not-correctable",
                "What takes an entry back cannot itself be taken back.",
                "chart again what was taken back",
            )
        )
    draft = Draft(
        wrong.child, wrong.line, "withdrawn", wrong.happened_at, sent.by.key,
        {"because": because}, wrong.id,
    )  # fmt: skip
    return ToChart(found.ward, [draft])


def wrong_entry(
    chart: ChartRepository, line: str, entry: int, by: StaffRecord
) -> Entry:
    """Return the entry to correct.

    Raises
    ------
    ChartError
        The line has none of that id, it has been corrected already, or it is
        somebody else's to correct.
    """
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
    return wrong


def typed_of(
    entry: Entry, asked: Sequence[FormField], zone: tzinfo
) -> tuple[dict[str, str], dict[str, tuple[str, ...]]]:
    """Return an entry as it would be typed and ticked into its form."""
    typed: dict[str, str] = {}
    ticked: dict[str, tuple[str, ...]] = {}
    told = answers_before(told_in_body(entry.body))
    for one in asked:
        if one.part == WHEN:
            local = entry.happened_at.astimezone(zone)
            typed[one.name] = f"{local:%Y-%m-%dT%H:%M}"
        elif one.field is not None:
            value = entry.body.get(one.field.key)
            if isinstance(one.field.answer, a.Substances):
                typed[one.name] = told.get(one.name, "")
            elif isinstance(one.field.answer, a.Words):
                ticked[one.name] = _ticked(one, one.field.answer, value)
            else:
                typed[one.name] = _typed(one, value)
    return typed, ticked


def _ticked(one: FormField, answer: a.Words, value: Any) -> tuple[str, ...]:
    if value is None:
        return ()
    if not value and answer.none and answer.none[0] in (one.choices or {}):
        return (answer.none[0],)
    return tuple(word for word in value if word in (one.choices or {}))


def _typed(one: FormField, value: Any) -> str:
    assert one.field is not None  # noqa: S101  the instant has no field
    match one.field.answer:
        case a.Grades():
            value = (value or {}).get(one.part)
        case a.Days():
            value = _end(one, value)
        case a.YesNo(neither=(word, _)) if value is None:
            return word
        case a.Word(is_said=True, words=words):
            said = {text.lower(): word for word, text in words.items()}
            value = said.get(str(value or "").lower(), value)
        case _:
            pass
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return "\n".join(map(str, value))
    return f"{value:g}" if isinstance(value, float) else str(value)


def _end(one: FormField, value: Any) -> Any:
    if not value:
        return None
    return value[0] if one.part == "first" else value[1]


def _fault(code: str, what: str, mend: str) -> Fault:
    return Fault(f"chart-{code}", what, "entry", mend)
