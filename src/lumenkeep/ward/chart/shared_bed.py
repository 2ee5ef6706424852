"""Whether two children lie under one bed number, which is said wherever a line is read.

A bed tells no child: it may be a slip, and the hands go to the wrong one; or twins
share it. So it is said, and never refused.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.ward.chart.records import Chart, LineRecord

SHARES_BED = "Another child has this bed number too"


def lines_in_shared_beds(records: Iterable[LineRecord]) -> frozenset[str]:
    """Return the keys of the lines in whose bed another child's line lies.

    Parameters
    ----------
    records
        Every line in place on the wards that are asked about.
    """
    by_bed: dict[tuple[str, str], dict[str, list[str]]] = {}
    for one in records:
        children = by_bed.setdefault((one.ward, _alike(one.bed)), {})
        children.setdefault(one.child, []).append(one.key)
    return frozenset(
        key
        for (ward, bed), children in by_bed.items()
        if ward and bed and len(children) > 1
        for keys in children.values()
        for key in keys
    )


def shares_bed(chart: Chart, ward: str, bed: str, child: str) -> bool:
    """Return whether another child's line lies, or would lie, in this child's bed.

    Parameters
    ----------
    ward, bed
        Where the child lies, or is to lie; empty where it lies nowhere.
    child
        Key of the child.
    """
    own = _alike(bed)
    if not (ward and own):
        return False
    return any(
        _alike(other) == own and key != child for other, key in chart.beds_in(ward)
    )


def _alike(bed: str) -> str:
    return " ".join(bed.split()).casefold()
