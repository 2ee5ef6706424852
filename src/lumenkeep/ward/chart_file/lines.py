"""The lines of a JSON Lines file as tables, read one by one within limits."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from math import isfinite
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.reading import shown
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterator
    from typing import BinaryIO

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
