"""Dressings from a table of a department's own: how long each held, and what ended it.

Columns are named in the first row: ``days`` and ``end``, perhaps ``child``, and any
others to group by. Commas, semicolons or tabs stand between.
"""

from __future__ import annotations

import csv
import io
from datetime import UTC, datetime, timedelta
from math import isfinite
from typing import TYPE_CHECKING

from lumenkeep.core.model.facts import NOT_GIVEN
from lumenkeep.core.model.reading import closest
from lumenkeep.core.watch.spells import DressingSpell, End
from lumenkeep.errors import Fault, InputError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

DAYS, END, CHILD = "days", "end", "child"
MOST_ROWS, MOST_FAULTS, LONGEST_DAYS = 1_000_000, 100, 10_000
SEPARATORS = ",;\t"
# Only lengths are known; an instant is needed to hold them.
NO_DAY = datetime(2000, 1, 1, tzinfo=UTC)


def spells_from_text(
    text: str, name: str, by: str | None
) -> dict[str | None, list[DressingSpell]]:
    """Return the dressings of a table by group, the largest first, the unknown last.

    Parameters
    ----------
    text
        The whole file.
    name
        What the file is called, for messages.
    by
        The column to group by; an empty cell there is not known. None groups nothing.

    Raises
    ------
    InputError
        Every fault: ``life-no-column``, ``life-no-rows``, ``life-bad-days``,
        ``life-bad-end``, ``life-too-many``, ``life-not-readable``.
    """
    first = text.partition("\n")[0]
    separator = max(SEPARATORS, key=first.count)
    rows = csv.DictReader(io.StringIO(text), delimiter=separator)
    faults: list[Fault] = []
    groups: dict[str | None, list[DressingSpell]] = {}
    try:
        heads = [(head or "").strip().lower() for head in rows.fieldnames or ()]
        rows.fieldnames = heads
        faults += _missing_columns(heads, name, by)
        if not faults:
            _read_rows(rows, name, by, groups, faults)
    except csv.Error as error:
        faults.append(unreadable(str(error), name))
    if not groups and not faults:
        faults.append(_no_rows(name))
    if faults:
        raise InputError(faults)
    return dict(
        sorted(groups.items(), key=lambda p: (p[0] is None, -len(p[1]), p[0] or ""))
    )


def unreadable(reason: str, name: str) -> Fault:
    """Return the fault of a table that is none."""
    return Fault(
        "life-not-readable",
        f"The table cannot be read: {reason}.",
        name,
        "name a CSV file in UTF-8, or - for standard input",
    )


def _read_rows(
    rows: csv.DictReader[str],
    name: str,
    by: str | None,
    groups: dict[str | None, list[DressingSpell]],
    faults: list[Fault],
) -> None:
    for number, row in enumerate(rows, start=2):
        spell = _spell(row, f"{name}: row {number}", number, faults)
        if len(faults) > MOST_FAULTS or number > MOST_ROWS:
            faults.append(_too_many(name, number))
            return
        if spell is not None:
            key = (row[by.lower()] or "").strip() or None if by else None
            groups.setdefault(key, []).append(spell)


def _missing_columns(heads: Sequence[str], name: str, by: str | None) -> list[Fault]:
    wanted = [DAYS, END] + ([by.lower()] if by else [])
    faults = []
    for column in wanted:
        if column not in heads:
            near = closest(column, heads)
            hint = f"is it '{near}'? " if near else ""
            faults.append(
                Fault(
                    "life-no-column",
                    f"There is no column '{column}'.",
                    f"{name}: first row",
                    f"{hint}name it in the first row",
                )
            )
    return faults


def _spell(
    row: Mapping[str, str | None], place: str, number: int, faults: list[Fault]
) -> DressingSpell | None:
    days = _days(row[DAYS], place, faults)
    end = _end(row[END], place, faults)
    if days is None or end is None:
        return None
    child = (row.get(CHILD) or "").strip() or f"row {number}"
    return DressingSpell(
        child, child, NOT_GIVEN, NOT_GIVEN, NOT_GIVEN, NOT_GIVEN, NOT_GIVEN,
        NO_DAY, NO_DAY + timedelta(days=days), end,
    )  # fmt: skip


def _days(text: str | None, place: str, faults: list[Fault]) -> float | None:
    try:
        days = float((text or "").strip().replace(",", "."))
    except ValueError:
        days = float("nan")
    if isfinite(days) and 0.0 <= days <= LONGEST_DAYS:
        return days
    faults.append(
        Fault(
            "life-bad-days",
            f"'{(text or '')[:40]}' is not how many days a dressing was on.",
            f"{place}, {DAYS}",
            f"write a number of days from 0 to {LONGEST_DAYS}",
        )
    )
    return None


def _end(text: str | None, place: str, faults: list[Fault]) -> End | None:
    word = (text or "").strip().lower().replace(" ", "-")
    try:
        return End(word)
    except ValueError:
        near = closest(word, [end.value for end in End])
        hint = f"did you mean '{near}'? otherwise " if near else ""
        faults.append(
            Fault(
                "life-bad-end",
                f"'{(text or '')[:40]}' is no end of a dressing.",
                f"{place}, {END}",
                f"{hint}write one of: " + ", ".join(end.value for end in End),
            )
        )
        return None


def _too_many(name: str, number: int) -> Fault:
    return Fault(
        "life-too-many",
        "There are more rows, or more faults, than are read at once.",
        f"{name}: from row {number}",
        f"mend those named, or give fewer than {MOST_ROWS} rows",
    )


def _no_rows(name: str) -> Fault:
    return Fault(
        "life-no-rows",
        "There is no dressing in the table.",
        name,
        "write one dressing a row below the names of the columns",
    )
