"""From what a guide tells to the entries of the chart.

A change that was done to its end is charted as the form charts it. One that was stopped
or left charts only what was really done: an emergency cover where the old dressing had
come off, the finding where it had not; no due time starts anew.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from lumenkeep.model.words import FINDINGS, SET_KINDS
from lumenkeep.planning import plan_change
from lumenkeep.services.change_form import AGENT, ASSISTANT, DRESSING
from lumenkeep.services.chart_task import LONGEST_SET_NAME, NOTE, SET_KIND, SET_NAME
from lumenkeep.services.guide_account import DONE, Account
from lumenkeep.services.guide_entry import CAUSE, REASON, REDRESSES, TIP
from lumenkeep.services.guide_entry import FINDINGS as FOUND
from lumenkeep.services.guide_noted import noted_of, typed_of
from lumenkeep.services.guide_ports import RunRecord
from lumenkeep.services.guide_told import not_known, told_of
from lumenkeep.services.line_at_hand import LineAtHand
from lumenkeep.services.ports import Draft
from lumenkeep.services.read_change import CHANGED_AT, body_key, read_change
from lumenkeep.services.typed_values import after_insertion

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.planning.plan import ChartItem
    from lumenkeep.services.typed_values import Typed

ENTRY_OF_PROCEDURE = {
    "dressing-change": ("dressing-change",),
    "connector-change": ("connector-change",),
    "set-change": ("set-change",),
    "port-needle-change": ("needle-change", "dressing-change"),
    "re-cover": ("re-cover",),
    "line-removal": ("line-removed",),
}
"""Kinds of entry that a procedure ends with when it is done."""
COUNTS_AT = ("cover", "connect", "needle-in", "pull", "cover-for-now", "press-edges")
"""Verbs of the steps whose end is the instant that is charted."""
CLOCKS_AGREE = timedelta(minutes=2)
OFF = ("peel",)
OUT = ("pull",)
STUCK = " It ended while the line was drawn: look at the line, and chart where it is."


@dataclass(frozen=True, slots=True)
class Told:
    """An account beside the run and the line it is about.

    Attributes
    ----------
    by
        Key of the person who sends it.
    flags
        What a reader of the entry must know.
    slips
        What each slip is called, by id.
    """

    account: Account
    run: RunRecord
    found: LineAtHand
    now: datetime
    by: str
    flags: tuple[str, ...]
    slips: Mapping[str, str]


def drafts_of(told: Told) -> tuple[list[Draft], Typed]:
    """Return the entries of an account, and what was typed with every fault noted."""
    at, ahead = happened_at(told)
    form = typed_of(told.account.values, told.run.head)
    particulars = told_of(told.account, told.run, told.flags, ahead, told.slips)
    particulars["noted"] = noted_of(form, told.run.head)
    if told.account.ending == DONE:
        bodies = _done(told, form, at)
    else:
        bodies = [_not_done(told, form)]
    after_insertion(form, CHANGED_AT, at, told.found.record.state)
    record = told.found.record
    return [
        Draft(
            record.child, record.key, kind, at, told.by, {**body, "guide": particulars}
        )
        for kind, body in bodies
    ], form


def happened_at(told: Told) -> tuple[datetime, timedelta]:
    """Return the instant to chart (UTC), and how far the tablet's clock was ahead.

    A guide cannot have been done before it was opened or after it was sent, whatever
    the tablet's clock says.
    """
    account = told.account
    ahead = account.sent_at - told.now if account.sent_at else timedelta()
    if abs(ahead) < CLOCKS_AGREE:
        ahead = timedelta()
    verbs = {step["id"]: step["verb"] for step in told.run.head["steps"]}
    ends = [
        row.began_at + timedelta(seconds=row.seconds)
        for row in account.steps
        if account.ending == DONE and verbs.get(row.id) in COUNTS_AT
    ]
    at = (ends[-1] if ends else account.ended_at) - ahead
    return min(max(at, told.run.opened_at), told.now), ahead


def _done(told: Told, form: Typed, at: datetime) -> list[tuple[str, dict[str, Any]]]:
    procedure = told.run.procedure
    kinds = ENTRY_OF_PROCEDURE[procedure]
    if procedure in REDRESSES:
        body = _of_a_dressing(told, form, at)
        return [(kind, body if kind == "dressing-change" else {}) for kind in kinds]
    note = form.text(NOTE, "Note")
    body = {"note": note} if note else {}
    if procedure == "set-change":
        name = form.text(SET_NAME, "Which set") or "main"
        body["set"] = name[:LONGEST_SET_NAME]
        body["kind"] = form.word(
            SET_KIND, "What runs through it", tuple(SET_KINDS), needed=True
        )
    if procedure == "re-cover":
        body |= _of_a_cover(told, form, needed=True)
    if procedure == "line-removal":
        body["reason"] = form.text(REASON, "Why it was taken out", needed=True)
        whole = form.word(TIP, "Is the line whole", ("yes", "no"), needed=True)
        body["whole"] = whole == "yes"
    return [(kinds[0], body)]


def _of_a_dressing(told: Told, form: Typed, at: datetime) -> dict[str, Any]:
    """Return the body that the form of a change would have, from what was called out.

    Agent and dressing are the plan's: that is what the guide guided to.
    """
    items = _items(told)
    instant = next((i.id for i in items if i.kind == "instant"), CHANGED_AT)
    choices = told.run.head["chosen"]
    form.fields = {
        **form.fields,
        AGENT: choices["agent"],
        DRESSING: choices["dressing"],
        ASSISTANT: told.account.assistant or "",
        instant: at.isoformat(),
    }
    read = read_change(form, items, told.found, told.now)
    return {key: value for key, value in read.body.items() if value not in (None, "")}


def _of_a_cover(told: Told, form: Typed, *, needed: bool) -> dict[str, Any]:
    chosen = told.account.values.get(FOUND)
    found = [str(word) for word in chosen] if isinstance(chosen, list) else []
    if needed and not found:
        form.fault("missing", "Nothing is chosen.", FOUND, "choose what was found")
    body: dict[str, Any] = {
        "findings": form.words(FOUND, "Found", found, tuple(FINDINGS))
    }
    cause = form.text(CAUSE, "Cause")
    return {**body, "cause": cause} if cause else body


def _not_done(told: Told, form: Typed) -> tuple[str, dict[str, Any]]:
    """Return what to chart of work that was stopped or left before its end."""
    begun, finished = _verbs(told)
    title = told.run.head["procedure"]["title"]
    note = f"{title} not finished: covered where it was open, and help was called."
    if finished & set(OUT):
        whole = form.word(TIP, "Is the line whole", ("yes", "no"))
        said = {"whole": whole == "yes"} if whole else {}
        return "line-removed", {"reason": form.text(REASON, "Reason") or note, **said}
    if begun & set(OUT):
        note += STUCK
    body = {"note": note, **_of_a_cover(told, form, needed=False)}
    if told.run.procedure in REDRESSES:
        body |= _measured(told, form)
    is_covered = "cover-for-now" in finished
    return ("re-cover" if is_covered or begun & set(OFF) else "finding"), body


def _verbs(told: Told) -> tuple[set[str], set[str]]:
    """Return the verbs of the steps that were begun, and of those that were finished.

    A tablet tells of the step at which it was stopped as of any other, and of the acts
    of the stop after it. So a step counts as finished only where a later one was
    reached: a line that would not come is not charted as out.
    """
    steps = told.run.head["steps"]
    places = {step["id"]: place for place, step in enumerate(steps)}
    ways = {act for slip in told.account.slips for act in slip.way}
    named = [row.id for row in told.account.steps]
    rows = {name for name in named if name in places}
    slipped = {slip.step for slip in told.account.slips if slip.step in places}
    last = max((places[name] for name in (rows - ways) | slipped), default=-1)
    return (
        {steps[places[name]]["verb"] for name in rows},
        {steps[places[name]]["verb"] for name in rows if places[name] < last},
    )


def _measured(told: Told, form: Typed) -> dict[str, Any]:
    """Return length and stitches, where they were called out before it ended."""
    found = {}
    for item in _items(told):
        if item.kind in ("length", "count") and form.fields.get(item.id):
            value = (
                form.number(item.id, item.label, "mm", item.low, item.high)
                if item.kind == "length"
                else form.count(item.id, item.label, item.low, item.high)
            )
            found[body_key(item)] = value
    return found


def _items(told: Told) -> Sequence[ChartItem]:
    """Return what the policy wants charted; what is said to be unknown is not asked.

    Nor is what the guide did not ask: a policy changed since must not hold up for ever
    what two people cannot fill in.
    """
    state = told.found.record.state
    asked = {one["field"] for one in told.run.head["entry"]["fields"]}
    needed = asked - set(not_known(told.account))
    is_done = told.account.ending == DONE
    return [
        item if is_done and item.id in needed else replace(item, required=False)
        for item in plan_change(state.case, told.now, told.found.policy).chart
    ]
