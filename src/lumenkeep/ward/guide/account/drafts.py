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

from lumenkeep.core.entries import every_kind
from lumenkeep.core.entries.kinds.of_hanging import MAIN_SET
from lumenkeep.core.planning import to_chart
from lumenkeep.ward.chart.charting.form_fields import (
    change_questions,
    field_of_item,
    plain_question,
)
from lumenkeep.ward.chart.charting.typed_entry import SentForm, read_sheet
from lumenkeep.ward.chart.line_at_hand import LineAtHand, agents_used
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.guide.account.course import not_known, told_of
from lumenkeep.ward.guide.account.read import DONE, Account
from lumenkeep.ward.guide.bundle.entry import (
    ENTRY_OF_PROCEDURE,
    REDRESSES,
    guided_fields,
)
from lumenkeep.ward.guide.bundle.fields import NOTED
from lumenkeep.ward.guide.records import RunRecord
from lumenkeep.ward.site.typed_values import Typed, after_insertion

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lumenkeep.core.planning.plan import ChartItem
    from lumenkeep.ward.guide.bundle.fields import Field


def typed_of(values: Mapping[str, Any], head: Mapping[str, Any]) -> Typed:
    """Return the values as a form would have sent them; fields filled in beforehand too.

    Lists stay out: they are read where they are wanted.
    """
    filled = {
        one["field"]: one["value"]
        for one in head["entry"]["fields"]
        if one["value"] is not None
    }
    said = {
        str(name): _text(value)
        for name, value in values.items()
        if isinstance(value, str | int | float)
    }
    return Typed({**filled, **said})


def _text(value: str | float) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def noted_of(form: Typed, head: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Return what was called out and is noted beside the entry: label and value."""
    found = []
    for field in _noted_fields(head):
        value = _value(form, field)
        if value is not None:
            found.append({"label": field["label"], "value": value})
    return found


def _noted_fields(head: Mapping[str, Any]) -> Iterator[Field]:
    seen = set()
    for step in head["steps"]:
        for field in step["charted"]:
            if field["field"].startswith(NOTED) and field["field"] not in seen:
                seen.add(field["field"])
                yield field


def _value(form: Typed, field: Field) -> object:
    name, label = field["field"], field["label"]
    if field["type"] == "mm":
        return form.number(name, label, "mm")
    if field["type"] == "count":
        return form.count(name, label)
    if field["type"] == "choice":
        return form.word(name, label, [one["value"] for one in field["choices"]])
    return form.text(name, label)


CHANGED_AT = "chart-changed-at"
"""Field of the instant where a policy names none."""
COUNTS_AT = ("cover", "connect", "needle-in", "pull", "cover-for-now", "press-edges")
"""Verbs of the steps whose end is the instant that is charted."""
CLOCKS_AGREE = timedelta(minutes=2)
OFF = ("peel",)
OUT = ("pull",)
AGAIN = "-again"
"""What the field of a second measurement adds to the name of the first."""
ARM_FIELD = "chart-arm"
JUST_BEFORE = timedelta(seconds=1)
STUCK = " It ended while the line was drawn: look at the line, and chart where it is."


@dataclass(frozen=True, slots=True)
class AccountContext:
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


def drafts_of(told: AccountContext) -> tuple[list[Draft], Typed]:
    """Return the entries of an account, and what was typed with every fault noted."""
    at, ahead = happened_at(told)
    form = typed_of(told.account.values, told.run.head)
    particulars = told_of(told.account, told.run, told.flags, ahead, told.slips)
    particulars["noted"] = noted_of(form, told.run.head)
    first = _measured_first(told, form, at, ahead)
    if told.account.ending == DONE:
        bodies = _done(told, form, at)
    else:
        bodies = [_not_done(told, form)]
    after_insertion(form, CHANGED_AT, at, told.found.record.state)
    record = told.found.record
    return [
        *first,
        *(
            Draft(
                record.child,
                record.key,
                kind,
                at,
                told.by,
                {**body, "guide": particulars},
            )
            for kind, body in bodies
        ),
    ], form


def _measured_first(
    told: AccountContext, form: Typed, at: datetime, ahead: timedelta
) -> list[Draft]:
    """Return the first of two measurements as an entry of its own, before the change.

    A length that looked doubtful was measured again by the other person: the watch
    judges both, and the change itself charts the second.
    """
    twice = [item for item in _items(told) if form.fields.get(item.id + AGAIN)]
    if told.account.ending != DONE or not twice:
        return []
    (item,) = twice
    mm = form.number(item.id, item.label, "mm", item.low, item.high)
    form.fields = {**form.fields, item.id: form.fields[item.id + AGAIN]}
    verbs = {step["id"]: step["verb"] for step in told.run.head["steps"]}
    ends = [
        row.began_at - ahead
        for row in told.account.steps
        if verbs.get(row.id) == "measure"
    ]
    when = min(max([*ends[-1:], told.run.opened_at]), at - JUST_BEFORE)
    body: dict[str, Any] = {"external_length_mm": mm}
    if arm := form.fields.get(ARM_FIELD):
        body["arm"] = arm
    record = told.found.record
    return [Draft(record.child, record.key, "site-check", when, told.by, body)]


def happened_at(told: AccountContext) -> tuple[datetime, timedelta]:
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


def _done(
    told: AccountContext, form: Typed, at: datetime
) -> list[tuple[str, dict[str, Any]]]:
    procedure = told.run.procedure
    kinds = ENTRY_OF_PROCEDURE[procedure]
    if procedure in REDRESSES:
        body = _of_a_dressing(told, form, at)
        return [(kind, body if kind == "dressing-change" else {}) for kind in kinds]
    body = _of_kind(told, form, kinds[0])
    if procedure == "set-change":
        body.setdefault("set", MAIN_SET)
    return [(kinds[0], body)]


def _of_kind(
    told: AccountContext, form: Typed, kind_id: str, *, needed: bool = True
) -> dict[str, Any]:
    """Return the body of a kind from what was called out, with every fault noted."""
    kind = every_kind()[kind_id]
    asked = [
        plain_question(one, told.found.policy, {}) for one in guided_fields(kind_id)
    ]
    if not needed:
        asked = [replace(one, required=False) for one in asked]
        kind = replace(
            kind, fields=tuple(replace(f, required=False) for f in kind.fields)
        )
    return read_sheet(kind, asked, _sheet(told, form)).body


def _sheet(told: AccountContext, form: Typed) -> SentForm:
    """Return what was called out as a form would have sent it."""
    ticked = {
        name: [str(word) for word in value]
        for name, value in told.account.values.items()
        if isinstance(value, list)
    }
    return SentForm(form, ticked, told.found.ward.zone, told.now)


def _of_a_dressing(told: AccountContext, form: Typed, at: datetime) -> dict[str, Any]:
    """Return the body that the form of a change would have, from what was called out.

    Agent and dressing are what the guide guided to, unless two people say otherwise.
    """
    items = _items(told)
    instant = next((i.id for i in items if i.kind == "instant"), CHANGED_AT)
    choices = told.run.head["chosen"]
    form.fields = {
        "agent": choices["agent"],
        "dressing": choices["dressing"],
        **form.fields,
        # What was put on is for two people to say: silence never means the plan's.
        **{name: "" for name in not_known(told.account) if name in choices},
        "assistant": told.account.assistant or "",
        instant: at.isoformat(),
    }
    policy = told.found.policy
    asked = change_questions(items, policy, {"agents": agents_used(policy)})
    kind = every_kind()["dressing-change"]
    body = read_sheet(kind, asked, _sheet(told, form)).body
    if body.get("skin") is None and body.get("site") == "skin broken":
        body["skin"] = "broken"
    return body


def _not_done(told: AccountContext, form: Typed) -> tuple[str, dict[str, Any]]:
    """Return what to chart of work that was stopped or left before its end."""
    begun, finished = _verbs(told)
    title = told.run.head["procedure"]["title"]
    note = f"{title} not finished: covered where it was open, and help was called."
    if finished & set(OUT):
        said = _of_kind(told, form, "line-removed", needed=False)
        return "line-removed", {**said, "reason": said.get("reason") or note}
    if begun & set(OUT):
        note += STUCK
    cover = _of_kind(told, form, "re-cover", needed=False)
    body = {"findings": [], **cover, "note": note}
    if told.run.procedure in REDRESSES:
        body |= _measured(told, form)
    is_covered = "cover-for-now" in finished
    return ("re-cover" if is_covered or begun & set(OFF) else "finding"), body


def _verbs(told: AccountContext) -> tuple[set[str], set[str]]:
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


def _measured(told: AccountContext, form: Typed) -> dict[str, Any]:
    """Return length and stitches, where they were called out before it ended."""
    found = {}
    for item in _items(told):
        if item.kind in ("length", "count") and form.fields.get(item.id):
            value = (
                form.number(item.id, item.label, "mm", item.low, item.high)
                if item.kind == "length"
                else form.count(item.id, item.label, item.low, item.high)
            )
            found[field_of_item(item).key] = value
    return found


def _items(told: AccountContext) -> Sequence[ChartItem]:
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
        for item in to_chart(state.case, told.now, told.found.policy)
    ]
