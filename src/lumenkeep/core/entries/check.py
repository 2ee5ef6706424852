"""Check the body of an entry against its kind, with every fault of it at once.

What a form requires is the form's: in a body any key may be absent, or null, and is
then unknown. A key, a word or a number that means nothing here is a fault.
"""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.answers import (
    ROWS,
    SPECIMENS,
    TABLE,
    TEXT,
    Answer,
    BirthMoment,
    Count,
    Day,
    Days,
    GestationWeeks,
    Grades,
    Held,
    Measure,
    Offered,
    Substances,
    Text,
    Texts,
    Word,
    Words,
    YesNo,
)
from lumenkeep.core.model.allergy import SEVERITIES, SaidAllergy
from lumenkeep.core.model.quantities import Gestation, weeks_and_days
from lumenkeep.core.model.reading import Reader, shown
from lumenkeep.core.model.written_times import (
    DAY_MEND,
    INSTANT_MEND,
    written_day,
    written_instant,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from lumenkeep.core.entries.kind import Field, Kind

    Spans = Mapping[str, tuple[float, float]]

GESTATION = "gestation"
SUBSTANCE, HAPPENED, SEVERITY, TOUCHES = (one.name for one in fields(SaidAllergy))
ANY_NUMBER = (0, 1e9)
GREATEST_ID = 2**53
GREATEST_GRADE = 100
LONGEST_WORD = 2000


def check_body(
    kind: Kind, reader: Reader, spans: Spans, also: Sequence[Field] = ()
) -> None:
    """Note every fault of a body.

    Parameters
    ----------
    kind
        Of the entry.
    reader
        At the body; its faults go there.
    spans
        Least and greatest of each bound of the world, by its id.
    also
        Fields that a policy adds to this kind.
    """
    for field in (*kind.fields, *also):
        value = reader.raw(field.key)
        if value is not None:
            _CHECKS[type(field.answer)](reader, field.key, value, field.answer, spans)
    reader.finish()


def span_of(answer: Measure | Count, spans: Spans) -> tuple[float, float] | None:
    """Return the least and greatest that a number can be, in its own unit."""
    found = spans.get(answer.bound)
    if found is None or isinstance(answer, Count):
        return found
    return found[0] / answer.scale, found[1] / answer.scale


def _wrong(reader: Reader, key: str, kind: str, value: object, mend: str) -> None:
    reader.fault("wrong-kind", f"{shown(value)} is not {kind}.", key, mend)


def _word(
    reader: Reader, key: str, value: object, answer: Word | Words, _: Spans
) -> None:
    if isinstance(answer, Word) and answer.is_number:
        _number_word(reader, key, value, answer)
    elif answer.is_free:
        _short_text(reader, key, value)
    else:
        reader.checked_word(value, key, answer.words)


def _number_word(reader: Reader, key: str, value: object, answer: Word) -> None:
    numbers = [int(word) for word in answer.words]
    reader.checked_whole(value, key, low=min(numbers), high=max(numbers), unit="")


def _words(reader: Reader, key: str, value: object, answer: Words, all_: Spans) -> None:
    if not isinstance(value, list):
        _wrong(reader, key, "a list", value, "write a list; [] says none of these")
        return
    none = answer.none[0] if answer.none else None
    for place, item in enumerate(value):
        at = f"{key}[{place}]"
        if none is not None and item == none and not answer.is_free:
            reader.fault(
                "none-as-a-word",
                f"'{none}' is no word of this list.",
                at,
                "write the empty list [] for none of these",
            )
        else:
            _word(reader, at, item, answer, all_)


def _short_text(reader: Reader, key: str, value: object) -> None:
    if not isinstance(value, str) or not value.strip():
        _wrong(reader, key, "a text", value, "write words between quotes")
    elif len(value) > LONGEST_WORD:
        _too_long(reader, key, LONGEST_WORD)


def _too_long(reader: Reader, key: str, longest: int) -> None:
    reader.fault(
        "text-too-long",
        f"The text is longer than {longest} characters.",
        key,
        "shorten it",
    )


def _offered(
    reader: Reader, key: str, value: object, answer: Offered, _: Spans
) -> None:
    if answer.source == SPECIMENS:
        reader.checked_whole(value, key, low=0, high=GREATEST_ID, unit="")
    else:
        _short_text(reader, key, value)


def _measure(
    reader: Reader, key: str, value: object, answer: Measure, spans: Spans
) -> None:
    if _can_be_charted(reader, key, value):
        low, high = span_of(answer, spans) or ANY_NUMBER
        reader.checked_number(value, key, low=low, high=high, unit=answer.unit)


def _count(
    reader: Reader, key: str, value: object, answer: Count, spans: Spans
) -> None:
    if _can_be_charted(reader, key, value):
        low, high = span_of(answer, spans) or ANY_NUMBER
        reader.checked_whole(value, key, low=low, high=high, unit="")


def _can_be_charted(reader: Reader, key: str, value: object) -> bool:
    """Refuse what is no number of any measurement: beyond that it may be a slip."""
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    if is_number and ANY_NUMBER[0] <= value <= ANY_NUMBER[1]:  # type: ignore[operator]
        return True
    mend = f"write a number from {ANY_NUMBER[0]:g} to {ANY_NUMBER[1]:g}"
    _wrong(reader, key, "a number that can be charted", value, mend)
    return False


def _text(reader: Reader, key: str, value: object, answer: Text, _: Spans) -> None:
    """Check a text; forms write an empty one where nothing was said."""
    if not isinstance(value, str):
        _wrong(reader, key, "a text", value, "write words between quotes")
    elif len(value) > answer.longest:
        _too_long(reader, key, answer.longest)


def _texts(reader: Reader, key: str, value: object, _: Texts, __: Spans) -> None:
    if not isinstance(value, list):
        _wrong(reader, key, "a list", value, 'write a list, as in ["one", "two"]')
        return
    for place, item in enumerate(value):
        _short_text(reader, f"{key}[{place}]", item)


def _yes_no(reader: Reader, key: str, value: object, _: YesNo, __: Spans) -> None:
    if not isinstance(value, bool):
        _wrong(reader, key, "true or false", value, "write true or false")


def _day(reader: Reader, key: str, value: object, _: Day, __: Spans) -> None:
    if written_day(value) is None:
        _wrong(reader, key, "a day", value, DAY_MEND)


def _days(reader: Reader, key: str, value: object, _: Days, __: Spans) -> None:
    found = [written_day(one) for one in value] if isinstance(value, list) else []
    match found:
        case [first, last] if first is not None and last is not None:
            if first <= last:
                return
    mend = 'write a first and a last day, as in ["2026-03-05", "2026-03-07"]'
    _wrong(reader, key, "a first and a last day", value, mend)


def _birth(reader: Reader, key: str, value: object, _: BirthMoment, __: Spans) -> None:
    if written_day(value) is None and written_instant(value) is None:
        mend = f"{INSTANT_MEND}; or only the day, as in 2026-03-05"
        _wrong(reader, key, "an instant with its offset, or a day", value, mend)


def _gestation(
    reader: Reader, key: str, value: object, _: GestationWeeks, spans: Spans
) -> None:
    try:
        found = Gestation.read(value) if isinstance(value, str) else None
    except ValueError:
        found = None
    low, high = spans.get(GESTATION, ANY_NUMBER)
    if found is None:
        mend = 'write weeks and days, as in "27w3d"'
        _wrong(reader, key, "a gestation", value, mend)
    elif not low <= found.days <= high:
        reader.fault(
            "impossible",
            f"A gestation of {found} is not possible here.",
            key,
            "write the gestation at birth, from "
            f"{weeks_and_days(int(low))} to {weeks_and_days(int(high))}",
        )


def _grades(reader: Reader, key: str, _: object, __: Grades, ___: Spans) -> None:
    rows = reader.table(key)
    if rows is None:
        return
    for scale in rows.every_key():
        grade = rows.raw(scale)
        if grade is not None:
            rows.checked_whole(grade, scale, low=0, high=GREATEST_GRADE, unit="")


def _substances(
    reader: Reader, key: str, _: object, __: Substances, ___: Spans
) -> None:
    for row in reader.rows(key):
        row.text(SUBSTANCE, needed=True)
        row.text(HAPPENED)
        row.word(SEVERITY, SEVERITIES)
        touches = row.raw(TOUCHES)
        if touches is not None:
            _yes_no(row, TOUCHES, touches, YesNo(), {})
        row.finish()


def _held(reader: Reader, key: str, value: object, answer: Held, _: Spans) -> None:
    if answer.shape == TEXT:
        _text(reader, key, value, Text(), _)
    elif answer.shape == TABLE:
        reader.table(key)
    elif answer.shape == ROWS:
        for _row in reader.rows(key):
            pass


_CHECKS: Mapping[type[Answer], Callable[[Reader, str, Any, Any, Spans], None]] = {
    Word: _word,
    Words: _words,
    Offered: _offered,
    Measure: _measure,
    Count: _count,
    Text: _text,
    Texts: _texts,
    YesNo: _yes_no,
    Day: _day,
    Days: _days,
    BirthMoment: _birth,
    GestationWeeks: _gestation,
    Grades: _grades,
    Substances: _substances,
    Held: _held,
}
