"""The lines of a chart file, read within limits, and what they say of each other."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from math import isfinite
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.answers import CONCERNS, SPECIMENS
from lumenkeep.core.entries.references import is_what_is_named, named_entries
from lumenkeep.core.model.chart import WITHDRAWN
from lumenkeep.core.model.reading import shown
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from typing import BinaryIO

    from lumenkeep.core.model.entry import Entry

    Placed = tuple[Entry, str]

LONGEST_LINE = 1_000_000
GREATEST_FILE = 2_000_000_000
DEEPEST = 40
MOST_FAULTS = 200
"""As many are told; then reading stops."""
MEND = "write one entry a line, as `lumenkeep chart export` does"
BOM = b"\xef\xbb\xbf"


def each_line(
    stream: BinaryIO, name: str, faults: list[Fault]
) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Yield place and table of each line; what cannot be read goes to ``faults``.

    Blank lines are passed over; a file with nothing else is a fault.
    """
    has_any = False
    size = 0
    for number, raw in enumerate(
        iter(lambda: stream.readline(LONGEST_LINE + 1), b""), 1
    ):
        where = f"{name}: line {number}: "
        size += len(raw)
        if len(raw) > LONGEST_LINE or size > GREATEST_FILE:
            what = "The line" if len(raw) > LONGEST_LINE else "The file"
            faults.append(
                Fault(
                    "chart-file-too-big",
                    f"{what} is longer than a chart file can be.",
                    _at(where),
                    MEND,
                )
            )
            return
        text = raw.removeprefix(BOM) if number == 1 else raw
        if not text.strip():
            continue
        has_any = True
        table = _table(text, where, faults)
        if len(faults) > MOST_FAULTS:
            return
        if table is not None:
            yield where, table
    if not has_any:
        faults.append(
            Fault(
                "chart-file-empty",
                "There is no entry in it.",
                name,
                MEND,
            )
        )


def _table(raw: bytes, where: str, faults: list[Fault]) -> Mapping[str, Any] | None:
    try:
        value = _DECODER.decode(raw.decode("utf-8"))
        if _may_be_unsound(raw):
            _is_sound(value)
    except (ValueError, RecursionError) as error:
        faults.append(_unreadable(error, where))
        return None
    if isinstance(value, Mapping):
        return value
    kind = "a list" if isinstance(value, list) else "no table"
    faults.append(
        Fault("chart-file-no-entry", f"This is {kind}, not an entry.", _at(where), MEND)
    )
    return None


def _unreadable(error: Exception, where: str) -> Fault:
    reason = str(error)
    if isinstance(error, RecursionError):
        reason = "it is nested too deep"
    elif isinstance(error, UnicodeDecodeError):
        reason = "it is not in UTF-8"
    return Fault(
        "chart-file-not-readable",
        f"This cannot be read as JSON: {reason}.",
        _at(where),
        MEND,
    )


def _at(where: str) -> str:
    return where.removesuffix(": ")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        times = Counter(key for key, _ in pairs)
        twice = next(key for key, count in times.items() if count > 1)
        raise ValueError(f"the key {shown(twice)} stands twice in one table")
    return found


def _finite(word: str) -> float:
    value = float(word)
    if not isfinite(value):
        raise ValueError(f"{shown(word)} is too large a number")
    return value


def _no_number(word: str) -> float:
    raise ValueError(f"{word} is not a number that can be charted")


_DECODER = json.JSONDecoder(
    object_pairs_hook=_once, parse_constant=_no_number, parse_float=_finite
)


def _may_be_unsound(raw: bytes) -> bool:
    """Return whether a line must be looked through: it escapes, or nests more than most."""
    return b"\\u" in raw or raw.count(b"[") + raw.count(b"{") > DEEPEST


def _is_sound(value: Any) -> None:
    """Refuse what could be read and not be written again.

    Raises
    ------
    ValueError
        Nested too deep; or a text holds half a character, or one that ends texts.
    """
    waiting = [(value, 0)]
    while waiting:
        one, depth = waiting.pop()
        if depth > DEEPEST:
            raise ValueError("it is nested too deep")
        if isinstance(one, dict):
            waiting += [(key, depth) for key in one]
            waiting += [(item, depth + 1) for item in one.values()]
        elif isinstance(one, list):
            waiting += [(item, depth + 1) for item in one]
        elif isinstance(one, str) and not one.isascii():
            _is_whole(one)
        elif isinstance(one, str) and "\0" in one:
            raise ValueError("a text holds a character that no text can have")


def _is_whole(text: str) -> None:
    try:
        text.encode()
    except UnicodeEncodeError:
        raise ValueError("a text holds half a character") from None
    if "\0" in text:
        raise ValueError("a text holds a character that no text can have")


_NAMES = {
    SPECIMENS: ("is no specimen", "name the entry that charts the specimen"),
    CONCERNS: (
        "is nothing that a concern of this line begins with",
        "name the entry that first showed it",
    ),
}


def faults_of_links(found: Sequence[Placed], ids: Mapping[int, str]) -> list[Fault]:
    """Return every fault between the entries of a file.

    Parameters
    ----------
    found
        Sound entries, each with its place in the file.
    ids
        Every id of the file, also of entries that are faulty in themselves, by place.
    """
    by_id = {entry.id: entry for entry, _ in found}
    times = Counter(entry.corrects for entry, _ in found)
    faults = list(_lines_of_two(found))
    for entry, where in found:
        faults += _of_correction(entry, where, by_id, ids)
        faults += _of_body(entry, where, by_id, ids)
        if entry.corrects is not None and times[entry.corrects] > 1:
            faults.append(
                Fault(
                    "chart-file-corrected-twice",
                    f"Entry {entry.corrects} is corrected more than once.",
                    f"{where}corrects",
                    "correct the later correction instead, so that each has one",
                )
            )
    return [*faults, *_circles(found, by_id)]


def _lines_of_two(found: Sequence[Placed]) -> Iterator[Fault]:
    owners: dict[str, str] = {}
    for entry, where in found:
        if entry.line is None:
            continue
        if owners.setdefault(entry.line, entry.child) != entry.child:
            yield Fault(
                "chart-file-other-child",
                f"The line '{entry.line}' is another child's.",
                f"{where}line",
                "give each line one child",
            )


def _of_correction(
    entry: Entry, where: str, by_id: Mapping[int, Entry], ids: Mapping[int, str]
) -> Iterator[Fault]:
    place = f"{where}corrects"
    if entry.corrects is None:
        if entry.kind == WITHDRAWN:
            yield Fault(
                "chart-file-takes-nothing-back",
                "It takes an entry back, and names none.",
                place,
                "write the id of the entry that is taken back",
            )
    elif entry.corrects not in ids:
        yield _no_such_entry(entry.corrects, place)
    elif entry.corrects in by_id and by_id[entry.corrects].kind == WITHDRAWN:
        yield Fault(
            "chart-file-takes-back-for-good",
            "What takes an entry back cannot itself be taken back.",
            place,
            "chart again what was taken back, as a new entry",
        )
    elif entry.corrects in by_id and not _fits(entry, by_id[entry.corrects]):
        yield Fault(
            "chart-file-corrects-another",
            f"Entry {entry.corrects} is of another child, line or kind.",
            place,
            "correct an entry of the same child, line and kind",
        )


def _fits(entry: Entry, other: Entry) -> bool:
    is_same = (entry.child, entry.line) == (other.child, other.line)
    return is_same and entry.kind in (other.kind, WITHDRAWN)


def _of_body(
    entry: Entry, where: str, by_id: Mapping[int, Entry], ids: Mapping[int, str]
) -> Iterator[Fault]:
    for named in dict.fromkeys(named_entries(entry)):
        other, place = by_id.get(named.id), f"{where}body.{named.key}"
        if named.id not in ids or (other is not None and other.child != entry.child):
            yield _no_such_entry(named.id, place)
        elif other is not None and not is_what_is_named(named, other, entry):
            what, mend = _NAMES[named.source]
            yield Fault(
                "chart-file-names-another", f"Entry {named.id} {what}.", place, mend
            )


def _no_such_entry(id_: int, place: str) -> Fault:
    return Fault(
        "chart-file-no-such-entry",
        f"The file has no entry {id_} of this child.",
        place,
        "name an entry of the file",
    )


def _circles(found: Sequence[Placed], by_id: Mapping[int, Entry]) -> Iterator[Fault]:
    """Yield a fault for each entry that corrects itself by way of others."""
    sound: set[int] = set()
    for entry, where in found:
        way: list[int] = []
        on_way: set[int] = set()
        one: Entry | None = entry
        while one is not None and one.id not in sound and one.id not in on_way:
            way.append(one.id)
            on_way.add(one.id)
            one = by_id.get(one.corrects) if one.corrects is not None else None
        if one is not None and one.id in on_way:
            yield Fault(
                "chart-file-corrects-itself",
                "It corrects itself, by way of the entries that it corrects.",
                f"{where}corrects",
                "let a correction name an earlier entry",
            )
        sound |= on_way
