"""Check what the entries of a chart file say of each other."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from lumenkeep.core.entries.answers import CONCERNS, SPECIMENS
from lumenkeep.core.entries.references import is_what_is_named, named_entries
from lumenkeep.core.model.chart import WITHDRAWN
from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lumenkeep.core.model.entry import Entry

    Placed = tuple[Entry, str]

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
