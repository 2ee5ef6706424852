"""Enter a day's count taken by hand, or put one right by a later entry."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.outcomes.count_days import hour_on, protocol_for
from lumenkeep.ward.outcomes.manual import standing_counts
from lumenkeep.ward.outcomes.ratio import stratum_names
from lumenkeep.ward.outcomes.records import ManualCount, NewCount
from lumenkeep.ward.site.may import CORRECTS_OTHERS
from lumenkeep.ward.site.typed_days import typed_day
from lumenkeep.ward.site.typed_values import Typed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.ward.outcomes.records import OutcomeBook
    from lumenkeep.ward.site.people import StaffRecord, WardRecord

ON, CHILDREN, WITH_LINE, TEMPORARY, PERMANENT, NOTE = (
    "on", "children", "with-line", "temporary", "permanent", "note",
)  # fmt: skip
MOST_CHILDREN = 400
"""More than any ward holds: two numbers ran together."""
FARTHEST_BACK = timedelta(days=400)


def stratum_fields(number: int) -> tuple[str, str]:
    """Return the fields of a birthweight group: infants, and those with a line."""
    return f"infants-{number}", f"infants-with-line-{number}"


def enter_count(
    book: OutcomeBook,
    ward: WardRecord,
    now: datetime,
    *,
    typed: Mapping[str, str],
    person: StaffRecord,
    submission: str,
) -> ManualCount:
    """Write a count of a ward and day; a day counted before is corrected.

    Parameters
    ----------
    typed
        ``on``, ``children``, ``with-line``, ``temporary`` and ``permanent`` (may be
        left out), ``note``, and for a newborn unit the birthweight groups
        (`stratum_fields`).
    person
        Who counted. Another's count is corrected by those who may.

    Raises
    ------
    ChartError
        Every fault at once.
    StoreError
        Nothing was written.
    """
    form = Typed(typed)
    today = now.astimezone(ward.zone).date()
    on = _day(form, today)
    children = form.count(CHILDREN, "Children here", 0, MOST_CHILDREN, needed=True)
    with_line = form.count(
        WITH_LINE, "With a central line", 0, MOST_CHILDREN, needed=True
    )
    temporary = form.count(TEMPORARY, "With a temporary line", 0, MOST_CHILDREN)
    permanent = form.count(PERMANENT, "With permanent lines only", 0, MOST_CHILDREN)
    note = form.text(NOTE, "Note") or ""
    hour = hour_on(book.hours([ward.key]), ward.key, on or today)
    groups = {}
    if hour is not None and hour.unit == "newborn":
        groups = _groups(form, on or today)
    _check_sums(form, children, with_line, temporary, permanent)
    _check_groups(form, groups, children, with_line)
    form.raise_faults()
    if on is None or children is None or with_line is None:
        raise ChartError(form.faults)
    before = standing_counts(book.counts([ward.key], on, on)).get(on)
    if before is not None:
        _may_correct(before, person)
    return book.add_count(
        NewCount(
            ward.key, on, children, with_line, person.key, temporary, permanent,
            groups, note, before.id if before else None,
        ),
        submission,
    )  # fmt: skip


def _day(form: Typed, today: date) -> date | None:
    on = typed_day(form, ON, "Day", today, needed=True)
    if on is None:
        return None
    if on < today - FARTHEST_BACK:
        form.fault(
            "too-long-ago",
            "Day: this is more than a year ago.",
            ON,
            "check the year",
        )
        return None
    return on


def _groups(form: Typed, on: date) -> dict[str, tuple[int, int]]:
    found = {}
    for number, name in enumerate(stratum_names(protocol_for(on).protocol)):
        infants, lines = stratum_fields(number)
        some = form.count(infants, f"{name}: infants", 0, MOST_CHILDREN)
        had = form.count(lines, f"{name}: with a line", 0, MOST_CHILDREN)
        if some is None and had is None:
            continue
        if some is None or had is None or had > some:
            form.fault(
                "contradiction",
                f"{name}: there cannot be more infants with a line than infants.",
                infants,
                "count this group again, both numbers",
            )
            continue
        found[name] = (some, had)
    return found


def _check_sums(
    form: Typed,
    children: int | None,
    with_line: int | None,
    temporary: int | None,
    permanent: int | None,
) -> None:
    if children is not None and with_line is not None and with_line > children:
        form.fault(
            "contradiction",
            f"{with_line} children with a line, but {children} children in all.",
            WITH_LINE,
            "count again; a child with several lines counts once",
        )
    kinds = [number for number in (temporary, permanent) if number is not None]
    is_off = with_line is not None and (
        sum(kinds) > with_line or (len(kinds) > 1 and sum(kinds) != with_line)
    )
    if kinds and is_off:
        form.fault(
            "contradiction",
            f"Temporary and permanent together are {sum(kinds)}, not {with_line}.",
            TEMPORARY,
            "count a child with both kinds under temporary alone",
        )


def _check_groups(
    form: Typed,
    groups: Mapping[str, tuple[int, int]],
    children: int | None,
    with_line: int | None,
) -> None:
    if not groups or children is None or with_line is None:
        return
    infants = sum(pair[0] for pair in groups.values())
    lines = sum(pair[1] for pair in groups.values())
    if infants > children or lines > with_line:
        form.fault(
            "contradiction",
            f"The birthweight groups hold {infants} infants and {lines} with a line, "
            f"more than {children} and {with_line}.",
            CHILDREN,
            "count again, each infant in one group",
        )


def _may_correct(before: ManualCount, person: StaffRecord) -> None:
    if person.role in CORRECTS_OTHERS or before.by == person.key:
        return
    raise ChartError(
        [
            Fault(
                "outcomes-not-yours",
                "Somebody else has counted this day already.",
                ON,
                "ask them, a charge nurse or an educator to correct it",
            )
        ]
    )
