"""The chart as an open file: JSON Lines, one entry a line, read with every fault.

Lines may stand in any order; ids count in the order of writing, within the file only.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.check import GREATEST_ID, check_body
from lumenkeep.core.entries.registry import every_kind, is_about
from lumenkeep.core.model.entry import Entry
from lumenkeep.core.model.hidden_signs import all_without_hidden_signs
from lumenkeep.core.model.reading import Reader, shown
from lumenkeep.core.model.written_times import (
    INSTANT_MEND,
    lacks_offset,
    written_instant,
)
from lumenkeep.errors import Fault, InputError
from lumenkeep.ward.chart_file.bounds import FileBounds
from lumenkeep.ward.chart_file.lines import MOST_FAULTS, each_line, faults_of_links

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime
    from typing import BinaryIO


LONGEST_KEY = 40
_, VERSION, _ = POLICY = ("set", "version", "digest")
LONGEST_POLICY = 80
_POLICY = re.compile(r"(\S+) (\S.*) (\S+)")
KEY_MEND = f"write a key of letters, digits, - and _, at most {LONGEST_KEY} of them"


def read_chart_file(
    stream: BinaryIO, name: str, bounds: FileBounds
) -> tuple[Entry, ...]:
    """Return the entries of a file in the order of writing.

    Parameters
    ----------
    stream
        Bytes of the file; read line by line.
    name
        What messages call it.
    bounds
        What bodies are checked against.

    Raises
    ------
    InputError
        Every fault of the file, up to `MOST_FAULTS`.
    """
    read = _Read(bounds)
    for where, table in each_line(stream, name, read.faults):
        _take(read, table, where)
        if len(read.faults) > MOST_FAULTS:
            break
    if len(read.faults) <= MOST_FAULTS:
        read.faults += _still_doubtful(read)
        read.faults += faults_of_links(read.found, read.ids)
    if read.faults:
        raise InputError(_most(read.faults, name))
    return tuple(sorted((entry for entry, _ in read.found), key=lambda e: e.id))


@dataclass(slots=True)
class _Read:
    """What has been read so far.

    Attributes
    ----------
    found
        Sound entries with their places.
    ids
        Place of every id.
    doubtful
        Numbers beyond the bounds of the world, by the id of their entry: faults, unless
        another entry puts this one right.
    """

    bounds: FileBounds
    faults: list[Fault] = field(default_factory=list)
    found: list[tuple[Entry, str]] = field(default_factory=list)
    ids: dict[int, str] = field(default_factory=dict)
    doubtful: dict[int, list[Fault]] = field(default_factory=dict)


def _take(read: _Read, table: Mapping[str, Any], where: str) -> None:
    mine: list[Fault] = []
    reader = Reader(_seen_as_read(table), where, mine, "chart-file")
    entry = _entry(reader, read)
    sure = [fault for fault in mine if not _is_doubtful(fault, where)]
    read.faults += sure
    if entry is None or sure:
        return
    read.found.append((entry, where))
    if mine:
        read.doubtful[entry.id] = mine


def _seen_as_read(table: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return an entry whose texts hold nothing hidden; a strange key stays a fault."""
    body = table.get("body")
    if not isinstance(body, dict):
        return table
    seen = {key: all_without_hidden_signs(value) for key, value in body.items()}
    return {**table, "body": seen}


def _is_doubtful(fault: Fault, where: str) -> bool:
    is_of_body = fault.where.startswith(f"{where}body.")
    return is_of_body and fault.code == "chart-file-impossible"


def _still_doubtful(read: _Read) -> list[Fault]:
    """Return the faults of impossible numbers that no correction puts right."""
    corrected = {entry.corrects for entry, _ in read.found}
    return [
        fault
        for id_, faults in read.doubtful.items()
        if id_ not in corrected
        for fault in faults
    ]


def _most(faults: Sequence[Fault], name: str) -> list[Fault]:
    if len(faults) <= MOST_FAULTS:
        return list(faults)
    more = Fault(
        "chart-file-more-faults",
        f"There are more than {MOST_FAULTS} faults; the rest is not told.",
        name,
        "mend these and read the file again",
    )
    return [*faults[:MOST_FAULTS], more]


def _entry(reader: Reader, read: _Read) -> Entry | None:
    id_ = _id(reader, read.ids)
    child, line, by = _key(reader, "child"), _line(reader), _by(reader)
    kind = _kind(reader, line, read.bounds)
    happened = _instant(reader, "happened_at", needed=True)
    written = _instant(reader, "written_at") or happened
    _not_before(reader, happened, written)
    corrects = _corrects(reader)
    policy = _policy(reader)
    reader.finish()
    body = reader.raw("body")
    if id_ is None or happened is None or written is None:
        return None
    return Entry(id_, child, line, kind, happened, written, by, policy, corrects, body)


def _id(reader: Reader, ids: dict[int, str]) -> int | None:
    found = reader.whole("id", low=0, high=GREATEST_ID, unit="", needed=True)
    if found is None:
        return None
    if found in ids:
        reader.faults.append(
            Fault(
                "chart-file-same-id",
                f"The id {found} stands twice.",
                reader.path("id"),
                f"give each entry its own; the other is at {ids[found].rstrip(': ')}",
            )
        )
    ids.setdefault(found, reader.where)
    return found


def _key(reader: Reader, key: str) -> str:
    value = reader.text(key, needed=True) or ""
    if value and not _is_key(value):
        reader.faults.append(_bad_key(value, reader.path(key), KEY_MEND))
    return value


def _bad_key(value: str, place: str, mend: str) -> Fault:
    return Fault("chart-file-bad-key", f"{shown(value)} is no key.", place, mend)


def _is_key(value: str) -> bool:
    """Return whether a text can stand in an address, as keys of children and lines do."""
    plain = value.replace("-", "").replace("_", "")
    return len(value) <= LONGEST_KEY and value.isascii() and plain.isalnum()


def _by(reader: Reader) -> str:
    value = reader.text("by", needed=True) or ""
    if len(value) > LONGEST_KEY or not value.isprintable():
        mend = f"write at most {LONGEST_KEY} letters that can be printed"
        reader.faults.append(_bad_key(value, reader.path("by"), mend))
    return value


def _line(reader: Reader) -> str | None:
    return _key(reader, "line") if _is_said(reader, "line") else None


def _is_said(reader: Reader, key: str) -> bool:
    """Return whether a key that must be there holds more than null."""
    if key in reader.data:
        return reader.raw(key) is not None
    reader.raw(key)
    reader.faults.append(_missing(reader, key, "add it; null says none"))
    return False


def _kind(reader: Reader, line: str | None, bounds: FileBounds) -> str:
    word = reader.word("kind", every_kind(), needed=True) or ""
    body = reader.table("body", needed=True)
    kind = every_kind().get(word)
    if kind is None or body is None:
        return word
    if not is_about(kind, line):
        of = "the child alone" if line is not None else "a line"
        mend = "write null" if line is not None else "name the line"
        reader.faults.append(
            Fault(
                "chart-file-wrong-about",
                f"'{word}' is about {of}.",
                reader.path("line"),
                mend,
            )
        )
    check_body(kind, body, bounds.spans, bounds.also.get(word, ()))
    return word


def _instant(reader: Reader, key: str, *, needed: bool = False) -> datetime | None:
    value = reader.raw(key)
    if value is None and not needed:
        return None
    found = written_instant(value)
    if found is not None:
        return found
    if value is None:
        reader.faults.append(_missing(reader, key, INSTANT_MEND))
    else:
        reader.faults.append(_no_instant(value, reader.path(key)))
    return None


def _missing(reader: Reader, key: str, mend: str) -> Fault:
    what = f"'{key}' is missing."
    return Fault("chart-file-missing", what, reader.path(key), mend)


def _no_instant(value: object, place: str) -> Fault:
    if lacks_offset(value):
        what = f"{shown(value)} does not say its offset."
        return Fault("chart-file-no-offset", what, place, INSTANT_MEND)
    what = f"{shown(value)} is not an instant."
    return Fault("chart-file-bad-instant", what, place, INSTANT_MEND)


def _not_before(
    reader: Reader, happened: datetime | None, written: datetime | None
) -> None:
    if happened is not None and written is not None and written < happened:
        reader.faults.append(
            Fault(
                "chart-file-written-too-soon",
                "It was written before it happened.",
                reader.path("written_at"),
                "correct one of the two instants",
            )
        )


def _corrects(reader: Reader) -> int | None:
    if not _is_said(reader, "corrects"):
        return None
    return reader.whole("corrects", low=0, high=GREATEST_ID, unit="")


def _policy(reader: Reader) -> str:
    """Return the policy an entry was charted under, as entries name it."""
    row = reader.table("policy")
    if row is None:
        return ""
    parts = [row.text(key, needed=True) or "" for key in POLICY]
    row.finish()
    for key, value in zip(POLICY, parts, strict=True):
        words = value.split()
        is_whole = value.isprintable() and len(value) <= LONGEST_POLICY
        is_one = len(words) <= 1 or key == VERSION
        if not (is_whole and is_one and " ".join(words) == value):
            mend = "write it as `lumenkeep policy read` shows it"
            row.faults.append(_bad_key(value, row.path(key), mend))
    return " ".join(parts)


def chart_file_line(entry: Entry) -> str:
    """Return an entry as a line of a chart file, without the line's end."""
    said: dict[str, Any] = {
        "id": entry.id,
        "child": entry.child,
        "line": entry.line,
        "kind": entry.kind,
        "happened_at": entry.happened_at.isoformat(),
        "written_at": entry.written_at.isoformat(),
        "by": entry.by,
        "corrects": entry.corrects,
        **({"policy": named} if (named := policy_named(entry.policy)) else {}),
        "body": all_without_hidden_signs(dict(entry.body)),
    }
    return json.dumps(said, ensure_ascii=False)


def policy_named(policy: str) -> dict[str, str] | None:
    """Return set, version and digest that an entry names; None where it lacks one."""
    match = _POLICY.fullmatch(policy)
    return None if match is None else dict(zip(POLICY, match.groups(), strict=True))


def not_read(error: Exception, name: str) -> Fault:
    """Return the fault of a chart file that cannot be opened or read."""
    reason = getattr(error, "strerror", None) or str(error)
    return Fault(
        "chart-file-not-read",
        f"The chart file cannot be read: {reason}.",
        name,
        "name a chart file, or - for standard input",
    )
