"""Read what a child does not tolerate, as a case file says it."""

from __future__ import annotations

from lumenkeep.core.model import NOT_GIVEN, SAID_UNKNOWN, Fact
from lumenkeep.core.model.allergy import (
    NOTHING_TOLD,
    SEVERITIES,
    Allergies,
    SaidAllergy,
    allergies_of,
    hear,
)
from lumenkeep.core.model.reading import Reader, closest, one_of, shown
from lumenkeep.core.model.substances import NAMES_TO_GUESS
from lumenkeep.core.model.words import SENSITIVITIES

YES_NO_MEND = "write true or false; leave it out where nobody has been asked"


def read_sensitivities(
    reader: Reader,
) -> tuple[Fact[frozenset[str]], Allergies]:
    """Return what a child's table says of sensitivities: words, phrases or tables."""
    key = "sensitivities"
    value = reader.raw(key)
    if value is None:
        said = key in reader.data
        return SAID_UNKNOWN if said else NOT_GIVEN, NOTHING_TOLD
    if not isinstance(value, list):
        reader.fault(
            "wrong-kind",
            f"{shown(value)} is not a list.",
            key,
            'write a list, as in ["chlorhexidine"]; [] means asked and none',
        )
        return NOT_GIVEN, NOTHING_TOLD
    told = [_told(reader, f"{key}[{n}]", item) for n, item in enumerate(value)]
    return allergies_of([said for said in told if said is not None])


def _told(reader: Reader, place: str, item: object) -> SaidAllergy | None:
    if isinstance(item, dict):
        row = Reader(item, reader.path(place), reader.faults, reader.prefix)
        said = SaidAllergy(
            _substance(row, "substance", row.raw("substance")) or "",
            row.text("what_happened"),
            row.word("severity", SEVERITIES),
            _yes_no(row, "touches_skin"),
        )
        row.finish()
        return said
    phrase = _substance(reader, place, item)
    return None if phrase is None else SaidAllergy(phrase)


def _yes_no(row: Reader, key: str) -> bool | None:
    value = row.raw(key)
    if value is None or isinstance(value, bool):
        return value
    row.fault("wrong-kind", f"{shown(value)} is not yes or no.", key, YES_NO_MEND)
    return None


def _substance(reader: Reader, place: str, item: object) -> str | None:
    if not isinstance(item, str) or not item.strip() or not item.isprintable():
        reader.fault(
            "wrong-kind",
            f"{shown(item)} is not a substance.",
            place,
            one_of(SENSITIVITIES),
        )
        return None
    heard = hear(item)
    if heard.bars or not heard.is_strange:
        return item
    near = closest("-".join(item.lower().split()), NAMES_TO_GUESS)
    if near is not None:
        reader.fault(
            "unknown-word",
            f"{shown(item)} is not a substance known here, but close to one.",
            place,
            f"did you mean '{near}'? known are: " + ", ".join(SENSITIVITIES),
        )
        return None
    return item
