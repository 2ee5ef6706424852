"""What the pages on infections work with beside the desk: children, names, who may see."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import PermissionDenied
from django.urls import reverse

from lumenkeep.core.model import words
from lumenkeep.core.model.chart import standing
from lumenkeep.ward.chart.store.children import DjangoChildren
from lumenkeep.ward.site.may import may_see_ward

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.child_records import ChildEntries
    from lumenkeep.ward.site.people import StaffRecord, WardRecord


def children() -> ChildEntries:
    """Return the chart, child by child."""
    return DjangoChildren()


def must_see_child(person: StaffRecord, entries: Iterable[Entry]) -> None:
    """Refuse a person on none of whose wards the child has lain.

    Raises
    ------
    PermissionDenied
        All its stays were on wards that this person does not see.
    """
    wards = {
        str(entry.body["ward"])
        for entry in standing(entries)
        if entry.kind == "stay" and entry.body.get("ward")
    }
    if not any(may_see_ward(person, ward) for ward in wards):
        raise PermissionDenied


def lines_in_words(entries: Iterable[Entry]) -> dict[str, str]:
    """Return the child's lines by key, as in "PICC, left upper arm"."""
    return {
        str(entry.line): _line(entry)
        for entry in standing(entries)
        if entry.kind == "line-inserted"
    }


def _line(inserted: Entry) -> str:
    body = inserted.body
    kind = words.LINE_KINDS.get(body.get("kind") or "", "Line")
    site = words.SITES.get(body.get("site") or "", "")
    side = f"{body['side']} " if body.get("side") else ""
    return f"{kind}, {side}{site.lower() if side else site}" if site else kind


def names_of(entries: Iterable[Entry], wards: Sequence[WardRecord]) -> dict[str, str]:
    """Return lines and wards in words by key."""
    return {**lines_in_words(entries), **{ward.key: ward.name for ward in wards}}


def hrefs_of(entries: Iterable[Entry]) -> dict[int, str]:
    """Return where each entry stands in a line's history, by its id."""
    found = list(entries)
    first = next((str(e.line) for e in found if e.line is not None), None)
    if first is None:
        return {}
    return {
        entry.id: f"{reverse('line', args=[entry.line or first])}"
        f"?entries=all#entry-{entry.id}"
        for entry in found
    }
