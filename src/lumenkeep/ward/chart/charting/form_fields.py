"""What a form asks for one kind of entry, for one line, now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lumenkeep.core.entries import answers as a
from lumenkeep.core.entries import every_kind, kind_of
from lumenkeep.core.entries.kind import KNOWN_HELD, Field, Kind
from lumenkeep.core.model import known_or_none
from lumenkeep.core.model.signs import SIGNS_OF_KINDS
from lumenkeep.core.model.words import YES_NO
from lumenkeep.core.planning import to_chart
from lumenkeep.ward.chart.charting.substances import (
    questions_of_substances,
    told_before,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lumenkeep.core.planning.plan import ChartItem
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.rules import ChartField
    from lumenkeep.core.policy.watch_rules import Scale
    from lumenkeep.ward.chart.charting.bedside import FormContext, Offers

WHEN = "when"
GIRTH = "arm_girth_mm"
GIRTH_SITES = ("upper-arm",)


@dataclass(frozen=True, slots=True)
class FormField:
    """One question of a form.

    Attributes
    ----------
    field
        The field of the registry that it fills; None for the instant.
    name, label, hint
        As the form shows it.
    kind
        How it is drawn: "instant", "day", "choice", "pick" (a long list), "several",
        "length", "mass", "number", "count", "gestation", "line" or "text".
    required
        Whether it must be answered.
    choices
        Words by value.
    low, high
        What is possible.
    part
        Which part of the field's value it is: a scale, a group of words, an end.
    """

    field: Field | None
    name: str
    label: str
    kind: str
    required: bool = False
    hint: str = ""
    choices: Mapping[str, str] | None = None
    low: float | None = None
    high: float | None = None
    part: str = ""

    @property
    def named(self) -> str:
        """What a fault calls it: the label without its question mark."""
        return self.label.rstrip("?")


def asked_of(kind: Kind, bedside: FormContext) -> tuple[FormField, ...]:
    """Return what a form of a kind asks, in the order of the work.

    Where the line must not be used and the kind uses it, the form asks first why one
    goes on.
    """
    items = {item.id: item for item in _items(bedside)}
    found = [
        asked
        for field in kind.fields
        if _is_asked(field, bedside, items)
        for asked in _of_field(kind, field, bedside, items.get(field.from_policy))
    ]
    found += _of_policy_alone(kind, items)
    found = _with_instant(kind, found, items)
    if kind.uses_line and bedside.reading.is_held:
        found.insert(0, _known_held(bedside))
    return tuple(found)


def _items(bedside: FormContext) -> tuple[ChartItem, ...]:
    case = bedside.reading.state.case
    return tuple(to_chart(case, bedside.now, bedside.line.policy))


def _is_asked(
    field: Field, bedside: FormContext, items: Mapping[str, ChartItem]
) -> bool:
    line = bedside.reading.state.case.line
    if field.key == GIRTH:
        return known_or_none(line.site) in GIRTH_SITES
    is_of_another = field.asked_of and known_or_none(line.kind) not in field.asked_of
    if is_of_another and known_or_none(line.inserted) is not None:
        return False
    if field.from_policy and field.from_policy not in items:
        return False
    return field.is_asked


def _of_field(
    kind: Kind, field: Field, bedside: FormContext, item: ChartItem | None
) -> Iterator[FormField]:
    if item is not None:
        # What a change must hold may be left out of a look.
        required = item.required and kind.id == "dressing-change"
        yield _of_item(item, field, required)
        return
    answer = field.answer
    match answer:
        case a.Grades():
            yield from (_of_scale(field, scale) for scale in _scales(bedside))
        case a.Substances():
            told = told_before(bedside)
            for name, label, how, choices in questions_of_substances(told):
                yield FormField(field, name, label, how, choices=choices, part=name)
        case a.Days():
            for part, words in (("first", "first day"), ("last", "last day")):
                name = f"{field.form_name}_{part}"
                label = f"{field.label}: {words}"
                yield FormField(field, name, label, "day", part=part)
        case a.Words() if answer.groups:
            yield from _of_groups(field, answer, bedside)
        case _:
            yield plain_question(field, bedside.line.policy, bedside.offers)


def plain_question(field: Field, policy: Policy, offers: Offers) -> FormField:
    """Return the question of a field as its answer alone shapes it.

    Parameters
    ----------
    policy
        Whose bounds of the world hold.
    offers
        As of a `FormContext`.
    """
    shaped = _shaped(field, policy, offers)
    return replace(shaped, required=field.required, hint=field.hint)


def _shaped(field: Field, policy: Policy, offers: Offers) -> FormField:
    name, label, answer = field.form_name, field.label, field.answer
    shaped = FormField(field, name, label, _SHAPES.get(type(answer), "text"))
    match answer:
        case a.Word():
            how = "pick" if answer.is_long else "choice"
            return replace(shaped, kind=how, choices=answer.words)
        case a.Words():
            none = dict([answer.none]) if answer.none else {}
            return replace(shaped, choices={**answer.words, **none})
        case a.Offered():
            return replace(shaped, choices=offers.get(answer.source, {}))
        case a.YesNo():
            neither = dict([answer.neither]) if answer.neither else {}
            return replace(shaped, choices={**YES_NO, **neither})
        case a.Measure():
            how = {"mm": "length", "g": "mass"}.get(answer.unit, "number")
            low, high = limits(policy, answer.bound, answer.scale)
            return replace(shaped, kind=how, low=low, high=high)
        case a.Count():
            low, high = limits(policy, answer.bound)
            return replace(shaped, low=low, high=high)
        case a.Text():
            return replace(shaped, kind="text" if answer.is_long else "line")
        case _:
            return shaped


_SHAPES: Mapping[type, str] = {
    a.Words: "several",
    a.Offered: "pick",
    a.YesNo: "choice",
    a.Count: "count",
    a.Texts: "text",
    a.Day: "day",
    a.BirthMoment: "line",
    a.GestationWeeks: "gestation",
}


def limits(
    policy: Policy, bound: str, scale: float = 1
) -> tuple[float | None, float | None]:
    """Return what is possible for a bound of the world; None where there is none.

    ``scale`` is how many of the bound's units the unit asked in holds.
    """
    found = policy.bounds.get(bound)
    return (None, None) if found is None else (found.low / scale, found.high / scale)


def _of_groups(
    field: Field, answer: a.Words, bedside: FormContext
) -> Iterator[FormField]:
    kind = known_or_none(bedside.reading.state.case.line.kind)
    elsewhere = {sign for sign, kinds in SIGNS_OF_KINDS.items() if kind not in kinds}
    for place, (name, label, words) in enumerate(answer.groups):
        first = dict([answer.none]) if answer.none and place == 0 else {}
        choices = {**first, **words}
        choices = {w: s for w, s in choices.items() if w not in elsewhere}
        yield FormField(field, name, label, "several", choices=choices, part=name)


def _of_item(item: ChartItem, field: Field | None, required: bool) -> FormField:  # noqa: FBT001
    """Return the question of something that the policy wants charted."""
    return FormField(
        field,
        item.id,
        item.label,
        "choice" if item.kind == "yes-no" else item.kind,
        required,
        hint=field.hint if field is not None else "",
        choices=YES_NO if item.kind == "yes-no" else choices_of(item.choices),
        low=item.low,
        high=item.high,
    )


def choices_of(words: Iterable[str]) -> dict[str, str]:
    """Return a policy's words as choices, each said as it begins a line."""
    return {word: word[:1].upper() + word[1:] for word in words}


def change_questions(
    items: Iterable[ChartItem], policy: Policy, offers: Offers
) -> tuple[FormField, ...]:
    """Return what a dressing change says, asked in another order than a form's.

    Parameters
    ----------
    items
        What the policy wants charted.
    """
    kind = every_kind()["dressing-change"]
    by_id = {item.id: item for item in items}
    found = []
    for field in kind.fields:
        item = by_id.get(field.from_policy)
        if item is not None:
            found.append(_of_item(item, field, item.required))
        elif not field.from_policy and not isinstance(field.answer, a.Held):
            found.append(plain_question(field, policy, offers))
    instant = next((one for one in by_id.values() if one.kind == "instant"), None)
    if instant is not None:
        found.append(replace(_of_item(instant, None, instant.required), part=WHEN))
    return (*found, *_of_policy_alone(kind, by_id))


def _of_policy_alone(kind: Kind, items: Mapping[str, ChartItem]) -> list[FormField]:
    """Return what a policy wants charted at a change that the registry does not know."""
    if kind.id != "dressing-change":
        return []
    known = {field.from_policy for field in kind.fields}
    return [
        _of_item(item, field_of_item(item), item.required)
        for item in items.values()
        if item.id not in known and item.kind != "instant"
    ]


def field_of_item(item: ChartItem | ChartField) -> Field:
    """Return the field of an item that a hospital's own policy adds to a change.

    "chart-mood", a choice, lies under ``mood``; a length under ``…_mm``.
    """
    key = item.id.removeprefix("chart-").replace("-", "_")
    return Field(
        f"{key}_mm" if item.kind == "length" else key,
        item.label,
        _answer_of(item),
        name=item.id,
        from_policy=item.id,
    )


def _answer_of(item: ChartItem | ChartField) -> a.Answer:
    match item.kind:
        case "length":
            return a.Measure("mm")
        case "count":
            return a.Count()
        case "choice":
            return a.Word({word: word for word in item.choices}, is_free=True)
        case "yes-no":
            return a.YesNo()
        case _:
            return a.Text()


def _scales(bedside: FormContext) -> list[Scale]:
    """Return the scales whose conditions hold, or may hold."""
    return [
        live.rule
        for live in bedside.book.scales
        if live.when.truth(bedside.situation) is not False
    ]


def _of_scale(field: Field, scale: Scale) -> FormField:
    grades = "; ".join(f"{one.grade} {one.says}" for one in scale.grades)
    return FormField(
        field,
        f"{field.form_name}-{scale.id}",
        scale.label,
        "count",
        hint=f"{grades}. Made for: {scale.population}.",
        low=scale.lowest,
        high=scale.highest,
        part=scale.id,
    )


def _with_instant(
    kind: Kind, found: list[FormField], items: Mapping[str, ChartItem]
) -> list[FormField]:
    form = kind.form
    if form is None or not form.happened_name:
        return found
    item = next((i for i in items.values() if i.kind == "instant"), None)
    if kind.id == "dressing-change" and item is not None:
        when = replace(_of_item(item, None, item.required), part=WHEN)
    else:
        name, label = form.happened_name, form.happened
        when = FormField(None, name, label, "instant", required=True, part=WHEN)
    if form.is_time_first:
        return [when, *found]
    last = len(found) - (bool(found) and found[-1].name == "note")
    return [*found[:last], when, *found[last:]]


def _known_held(bedside: FormContext) -> FormField:
    return FormField(
        KNOWN_HELD,
        KNOWN_HELD.form_name,
        KNOWN_HELD.label,
        "line",
        required=True,
        hint=" ".join(hold.sentence for hold in bedside.reading.holds),
    )


CHANGE = "dressing-change"
INSTANT = "instant"


def own_fields(policy: Policy) -> Mapping[str, Sequence[Field]]:
    """Return the fields that a set adds, by the kind of entry they belong to.

    What the set bounds or offers binds its forms; a body may say it otherwise, as one
    that was charted under another version does.
    """
    kind = kind_of(CHANGE)
    known = set(kind.keys) if kind is not None else set()
    fields = [field_of_item(one) for one in policy.chart_fields if one.kind != INSTANT]
    return {CHANGE: tuple(one for one in fields if one.key not in known)}
