"""Read what was typed into a form into the body of an entry, with every fault."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from typing import TYPE_CHECKING, Any, TypeVar

from lumenkeep.core.entries import answers as a
from lumenkeep.core.model.allergy import SaidAllergy
from lumenkeep.ward.chart.charting.form_fields import WHEN, FormField
from lumenkeep.ward.chart.charting.substances import read_substances
from lumenkeep.ward.chart.read_birth import BORN, GESTATION, read_birth
from lumenkeep.ward.site.typed_values import Typed, typed_day

if TYPE_CHECKING:
    from lumenkeep.core.entries.kind import Flaw, Kind

Body = dict[str, Any]
NOTHING_CHOSEN = "Nothing is chosen."


@dataclass(frozen=True, slots=True)
class SentForm:
    """A form as sent: texts by field, and what was ticked.

    Attributes
    ----------
    form
        Texts, with the faults found so far.
    ticked
        Every value ticked, by field.
    zone, now
        On whose clock it was typed, and when (UTC): nothing can have happened later.
    told
        What is charted that the child does not tolerate.
    """

    form: Typed
    ticked: Mapping[str, Sequence[str]]
    zone: tzinfo
    now: datetime
    told: Sequence[SaidAllergy] = ()


@dataclass(frozen=True, slots=True)
class TypedEntry:
    """What was typed: when it was so, in which field that stands, and the body."""

    at: datetime | None
    at_field: str
    body: Body


def read_sheet(kind: Kind, asked: Sequence[FormField], sheet: SentForm) -> TypedEntry:
    """Return what a form says, noting every fault in ``sheet.form``.

    What was left out is left out of the body: absent is unknown.
    """
    form = sheet.form
    when = next((one for one in asked if one.part == WHEN), None)
    at = None
    if when is not None:
        at = form.instant(
            when.name, when.named, sheet.zone, sheet.now, needed=_is_needed(kind, when)
        )
    body: Body = {}
    for one in asked:
        if one.field is not None:
            _put(body, one, _value(one, sheet))
    _days_are_whole(kind, body, form)
    if kind.id == "birth":
        body = _birth(sheet, asked)
    body |= _substances(kind, sheet)
    body = _tidied(kind, body)
    _check_words(kind, asked, sheet, body)
    for flaw in kind.check(body) if kind.check else ():
        _note_flaw(flaw, asked, form)
    return TypedEntry(at, when.name if when else "", body)


def _note_flaw(flaw: Flaw, asked: Sequence[FormField], form: Typed) -> None:
    """Note what is wrong with a body at its field, unless something is noted there."""
    code, what, key, mend = flaw
    name = next((o.name for o in asked if o.field and o.field.key == key), key)
    faulty = {fault.where for fault in form.faults}
    # What was said and could not be read is not nothing.
    is_said = what == NOTHING_CHOSEN and any(
        o.field and o.name in faulty for o in asked
    )
    if name in faulty or is_said:
        return
    match code:
        case "missing":
            form.fault("missing", what, name, mend)
        case "out-of-range":
            form.fault("out-of-range", what, name, mend)
        case _:
            form.fault("contradiction", what, name, mend)


def _is_needed(kind: Kind, when: FormField) -> bool:
    """Return whether the instant must be said; elsewhere an empty one is now."""
    is_of_policy = kind.id == "dressing-change"
    is_said = kind.form is not None and kind.form.is_time_needed
    return is_said or (is_of_policy and when.required)


def _tidied(kind: Kind, body: Body) -> Body:
    """Return a body without what says nothing beside its other answers."""
    alone = {
        field.key
        for field in kind.fields
        if field.only_with and body.get(field.only_with[0]) != field.only_with[1]
    }
    return {key: value for key, value in body.items() if key not in alone}


def _put(body: Body, one: FormField, value: Any) -> None:
    """Lay a value into the body: whole, or as its part of a list, table or pair."""
    assert one.field is not None  # noqa: S101  the instant is read elsewhere
    key, answer = one.field.key, one.field.answer
    if value is None:
        return
    match answer:
        case a.Grades():
            body.setdefault(key, {})[one.part] = value
        case a.Words():
            none = answer.none[0] if answer.none else None
            if value or one.part in ("", _first_group(answer)):
                before = body.get(key, [])
                body[key] = [*before, *(word for word in value if word != none)]
        case a.Days():
            body.setdefault(key, {})[one.part] = value.isoformat()
        case _:
            body[key] = value


def _first_group(answer: a.Words) -> str:
    return answer.groups[0][0] if answer.groups else ""


def _value(one: FormField, sheet: SentForm) -> Any:
    assert one.field is not None  # noqa: S101  the instant is read elsewhere
    read = _READERS.get(type(one.field.answer))
    return None if read is None else read(one, sheet)


def _words(one: FormField, sheet: SentForm) -> list[str] | None:
    ticked = sheet.ticked.get(one.name, ())
    if not ticked:
        return None
    return sheet.form.words(one.name, one.named, ticked, tuple(one.choices or {}))


def _chosen(one: FormField, sheet: SentForm) -> str | None:
    known = tuple(one.choices or {})
    return sheet.form.word(one.name, one.named, known, needed=one.required)


def _word(one: FormField, sheet: SentForm) -> object:
    word, answer = _chosen(one, sheet), _answer(one, a.Word)
    if word is None:
        return None
    if answer.is_number:
        return int(word)
    return answer.words[word].lower() if answer.is_said else word


def _offered(one: FormField, sheet: SentForm) -> object:
    source = _answer(one, a.Offered).source
    if source == "staff":
        return sheet.form.text(one.name, one.named, needed=one.required)
    word = _chosen(one, sheet)
    return int(word) if word is not None and source == "specimens" else word


def _measure(one: FormField, sheet: SentForm) -> float | None:
    unit = _answer(one, a.Measure).unit
    return sheet.form.number(
        one.name, one.named, unit, one.low, one.high, needed=one.required
    )


def _count(one: FormField, sheet: SentForm) -> int | None:
    return sheet.form.count(one.name, one.named, one.low, one.high, needed=one.required)


def _yes_no(one: FormField, sheet: SentForm) -> bool | None:
    return {"yes": True, "no": False}.get(_chosen(one, sheet) or "")


def _texts(one: FormField, sheet: SentForm) -> list[str]:
    return _lines(sheet.form.text(one.name, one.named, needed=one.required))


def _end(one: FormField, sheet: SentForm) -> date | None:
    today = sheet.now.astimezone(sheet.zone).date()
    return typed_day(sheet.form, one.name, one.named, today, needed=one.required)


def _day(one: FormField, sheet: SentForm) -> str | None:
    found = _end(one, sheet)
    return None if found is None else found.isoformat()


def _text(one: FormField, sheet: SentForm) -> str | None:
    longest = _answer(one, a.Text).longest
    text = sheet.form.text(one.name, one.named, needed=one.required)
    if text is not None and len(text) > longest:
        sheet.form.fault(
            "too-long",
            f"{one.named}: the text is longer than {longest} characters.",
            one.name,
            "shorten it",
        )
        return None
    return text


A = TypeVar("A")


def _answer(one: FormField, shape: type[A]) -> A:
    answer = one.field.answer if one.field is not None else None
    assert isinstance(answer, shape)  # noqa: S101  chosen by its type
    return answer


_READERS: Mapping[type, Callable[[FormField, SentForm], Any]] = {
    a.Words: _words,
    a.Word: _word,
    a.Offered: _offered,
    a.Measure: _measure,
    a.Count: _count,
    a.Grades: _count,
    a.YesNo: _yes_no,
    a.Texts: _texts,
    a.Days: _end,
    a.Day: _day,
    a.Text: _text,
}


def _lines(text: str | None) -> list[str]:
    """Return one name for each line; a name may hold a comma."""
    lines = (line.strip() for line in (text or "").replace(";", "\n").splitlines())
    return [line for line in lines if line]


def _days_are_whole(kind: Kind, body: Body, form: Typed) -> None:
    """Turn two ends into a pair; one end alone is a fault."""
    for field in kind.fields:
        ends = body.get(field.key)
        if not isinstance(field.answer, a.Days) or ends is None:
            continue
        missing = [part for part in ("first", "last") if part not in ends]
        if missing:
            form.fault(
                "contradiction",
                f"{field.label} has one end only.",
                f"{field.form_name}_{missing[0]}",
                "fill in both days, or neither",
            )
        body[field.key] = [ends.get("first"), ends.get("last")]


def _birth(sheet: SentForm, asked: Sequence[FormField]) -> Body:
    """Return birth and gestation, which are typed as texts of their own kind."""
    needed = any(one.required for one in asked if one.name == BORN)
    read = read_birth(sheet.form, sheet.zone, sheet.now, needed=needed)
    return {key: read[key] for key in (BORN, GESTATION)}


def _substances(kind: Kind, sheet: SentForm) -> Body:
    """Return what a form says of substances beside the list, if it asks of them."""
    keys = [f.key for f in kind.fields if isinstance(f.answer, a.Substances)]
    rows = read_substances(sheet.form, sheet.told) if keys else []
    return dict.fromkeys(keys, rows) if rows else {}


def _check_words(
    kind: Kind, asked: Sequence[FormField], sheet: SentForm, body: Body
) -> None:
    """Note lists of which nothing is ticked, and "none of these" beside some of them."""
    told = [f.key for f in kind.fields if isinstance(f.answer, a.Substances)]
    is_told = any(body.get(key) for key in told)
    for field in kind.fields:
        answer = field.answer
        if not isinstance(answer, a.Words):
            continue
        of_field = [one for one in asked if one.field is field]
        ticked = [word for one in of_field for word in sheet.ticked.get(one.name, ())]
        name = of_field[0].name if of_field else field.form_name
        if of_field and field.required and not ticked and not is_told:
            mend = "choose what applies"
            if answer.none is not None:
                mend += f", or “{answer.none[1]}”"
            sheet.form.fault("missing", NOTHING_CHOSEN, name, mend)
        none = answer.none[0] if answer.none else None
        if none in ticked and len(set(ticked)) > 1:
            said = answer.none[1] if answer.none else ""
            sheet.form.fault(
                "contradiction",
                f"“{said}” is chosen, and yet something else is.",
                name,
                "take one of them back",
            )
