"""Which entries of a chart file a chart does not have yet, and under which new ids.

Ids of two charts mean nothing to each other. Entries are the same when all that they
say is: child, line, kind, both instants, person, body, and what they correct or name.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.references import named_entries, renumbered, without_ids
from lumenkeep.core.model.entry import Entry
from lumenkeep.core.model.hidden_signs import all_without_hidden_signs
from lumenkeep.ward.infections.infections_of import infections_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import tzinfo

    Mark = tuple[Any, ...]


PROPOSAL = "proposal"


@dataclass(frozen=True, slots=True)
class Merged:
    """What a file adds to a chart.

    Attributes
    ----------
    new
        Entries to write, with the ids they get, in the order of writing.
    there
        How many the chart has already.
    id_of
        The chart's id of each entry of the file, by the file's.
    """

    new: tuple[Entry, ...]
    there: int
    id_of: Mapping[int, int]


def merged(
    told: Sequence[Entry],
    chart: Sequence[Entry],
    first_id: int,
    zones: Mapping[str, tzinfo],
) -> Merged:
    """Return what a file adds to a chart.

    Parameters
    ----------
    told
        The file's entries, in the order of writing.
    chart
        The chart's entries of the same children, in the order of writing.
    first_id
        The first id that is free in the chart, above all that are not.
    zones
        The zone of each ward.
    """
    waiting: dict[Mark, list[int]] = defaultdict(list)
    for mark, entry in reversed(_marked(chart)):
        waiting[mark].append(entry.id)
    id_of: dict[int, int] = {}
    new: list[Entry] = []
    for mark, entry in _marked(told):
        if waiting[mark]:
            id_of[entry.id] = waiting[mark].pop()
        else:
            id_of[entry.id] = first_id + len(new)
            new.append(entry)
    moved = {entry.id: _moved(entry, id_of) for entry in told}
    digests = _new_digests(told, list(moved.values()), id_of, zones)
    return Merged(
        tuple(_with_digest(moved[entry.id], digests) for entry in new),
        len(told) - len(new),
        id_of,
    )


def _marked(entries: Iterable[Entry]) -> list[tuple[Mark, Entry]]:
    """Return each entry with all that it says, but for ids."""
    entries = list(entries)
    plain = {entry.id: _plain(entry) for entry in entries}
    return [
        (
            (
                plain[entry.id],
                plain.get(entry.corrects) if entry.corrects is not None else None,
                *(plain.get(named.id) for named in named_entries(entry)),
            ),
            entry,
        )
        for entry in entries
    ]


def _plain(entry: Entry) -> Mark:
    return (
        entry.child,
        entry.line,
        entry.kind,
        entry.happened_at,
        entry.written_at,
        entry.by,
        entry.corrects is None,
        json.dumps(all_without_hidden_signs(without_ids(entry)), sort_keys=True),
    )


def _moved(entry: Entry, id_of: Mapping[int, int]) -> Entry:
    corrects = None if entry.corrects is None else id_of[entry.corrects]
    body = renumbered(entry, id_of)
    return replace(entry, id=id_of[entry.id], corrects=corrects, body=body)


def _new_digests(
    told: Sequence[Entry],
    moved: Sequence[Entry],
    id_of: Mapping[int, int],
    zones: Mapping[str, tzinfo],
) -> dict[str, str]:
    """Return the digest of each proposal with its new ids, by that with the old ones.

    A decision on an infection names the proposal it was about by a digest, and the
    digest rests on the ids of the specimens.
    """
    if all(old == new for old, new in id_of.items()):
        return {}
    found = {}
    for child in {entry.child for entry in told if entry.body.get(PROPOSAL)}:
        before, after = (
            infections_of(child, [e for e in some if e.child == child], dict(zones))
            for some in (told, moved)
        )
        again = {one.event: one.digest for one in after}
        for one in before:
            digest = again.get(id_of[one.event])
            if digest is not None:
                found[one.digest] = digest
    return found


def _with_digest(entry: Entry, digests: Mapping[str, str]) -> Entry:
    new = digests.get(str(entry.body.get(PROPOSAL)))
    return entry if new is None else replace(entry, body={**entry.body, PROPOSAL: new})
