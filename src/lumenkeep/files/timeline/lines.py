"""Read the lines of a timeline file; what is not known of one may be said so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.timeline import Moment, TrackedLine
from lumenkeep.files.timeline.parts import in_order, read_moment, slug

if TYPE_CHECKING:
    from lumenkeep.core.model.reading import Reader

UNKNOWN = "unknown"
TIPS = ("great-vessel", "elsewhere")
LINE_KINDS = (
    "picc", "non-tunnelled", "tunnelled", "port", "implanted-port", "umbilical",
    "umbilical-venous", "umbilical-arterial", "haemodialysis", "tunnelled-haemodialysis",
    "non-tunnelled-haemodialysis", "introducer", "pulmonary-artery", "arterial",
    "peripheral-arterial", "peripheral-arterial-catheter", "midline", "peripheral",
    "peripheral-cannula", "fistula-or-graft", "atrial-line", "balloon-pump", "ecmo",
    "ecmo-cannula", "vad", "reliable-outflow-device", "pacing-wire", "other",
)  # fmt: skip
"""Kinds of line and of what is taken for one; the tip decides about most of them."""


def _told_moment(reader: Reader, key: str) -> Moment | None:
    """Return a moment; None also where the file says that it is unknown."""
    return None if reader.raw(key) == UNKNOWN else read_moment(reader, key)


def read_lines(reader: Reader) -> tuple[TrackedLine, ...]:
    """Return the lines."""
    found = []
    for row in reader.rows("lines"):
        name = row.text("id", needed=True)
        kind = row.text("kind", needed=True)
        if kind is not None:
            kind = row.checked_word(slug(kind), "kind", LINE_KINDS)
        tip = row.word("tip", (*TIPS, UNKNOWN))
        inserted = _told_moment(row, "inserted")
        accessed = _told_moment(row, "first_access")
        removed = _told_moment(row, "removed")
        row.finish()
        in_order(row, "removed", removed, "inserted", inserted)
        in_order(row, "first_access", accessed, "inserted", inserted)
        in_order(row, "removed", removed, "first_access", accessed)
        if name and kind:
            found.append(
                TrackedLine(
                    name,
                    kind,
                    None if tip == UNKNOWN else tip,
                    inserted,
                    accessed,
                    row.data.get("first_access", UNKNOWN) != UNKNOWN,
                    removed,
                    removal_is_told=row.data.get("removed") != UNKNOWN,
                )
            )
    return tuple(found)
