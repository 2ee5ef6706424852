"""Enter a day's count by hand, a baseline, and the hour at which a ward counts."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.outcomes.count_days import hour_on, protocol_for
from lumenkeep.ward.outcomes.manual import standing_counts
from lumenkeep.ward.outcomes.ratio import ALL, PERMANENT, TEMPORARY, stratum_names
from lumenkeep.ward.outcomes.records import (
    BASELINE_KINDS,
    UNIT_KINDS,
    Baseline,
    CountHour,
    ManualCount,
    NewBaseline,
    NewCount,
    ReferenceStratum,
)
from lumenkeep.ward.site.rights import Right, may, may_correct_of
from lumenkeep.ward.site.typed_values import Typed, typed_day

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.ward.outcomes.repository import OutcomeRepository
    from lumenkeep.ward.site.people import StaffRecord, WardRecord
    from lumenkeep.ward.site.sent import Sent

ROWS = 5
KIND, FIRST, LAST, PREDICTED, SOURCE = "kind", "first", "last", "predicted", "source"
HOUR, UNIT, STARTS_ON = "hour", "unit", "starts-on"
MOST = 9_999_999.0


def row_fields(number: int) -> tuple[str, str, str]:
    """Return the fields of a reference rate: its stratum, events and days."""
    return f"stratum-{number}", f"events-{number}", f"days-{number}"


def strata_choices(kind: str, on: date) -> tuple[str, ...]:
    """Return the strata that a reference rate may be given for."""
    groups = stratum_names(protocol_for(on).protocol)
    return (ALL, *((TEMPORARY, PERMANENT) if kind == "infections" else ()), *groups)


def enter_baseline(
    book: OutcomeRepository, ward: WardRecord, now: datetime, sent: Sent
) -> Baseline:
    """Write a baseline: a predicted number for a time, or reference rates with days.

    Typed are ``kind``, ``first``, ``last``, ``source``; and either ``predicted`` or rows
    of `row_fields`. Where they come from is the user's to state; none is made here.

    Raises
    ------
    ChartError
        Every fault at once; ``outcomes-no-right``.
    StoreError
        Nothing was written.
    """
    _must_set(sent.by)
    form = Typed(sent.typed)
    kind = form.word(KIND, "What is predicted", tuple(BASELINE_KINDS), needed=True)
    first = typed_day(form, FIRST, "First day", date.max, needed=True)
    last = typed_day(form, LAST, "Last day", date.max, needed=True)
    source = form.text(SOURCE, "Source", needed=True)
    predicted = form.number(PREDICTED, "Predicted number", "", 0.0, MOST)
    strata = _strata(form, kind or "infections", first or now.date())
    if first is not None and last is not None and last < first:
        form.fault(
            "contradiction",
            "The last day lies before the first.",
            LAST,
            "put the two in order",
        )
    if (predicted is None) == (not strata) and not form.faults:
        form.fault(
            "contradiction",
            "Give a predicted number or reference rates, one of the two.",
            PREDICTED,
            "fill in one and leave the other empty",
        )
    form.raise_faults()
    if kind is None or first is None or last is None or source is None:
        raise ChartError(form.faults)
    return book.add_baseline(
        NewBaseline(
            ward.key, kind, first, last, source, sent.by.key, predicted, strata
        ),
        sent.submission,
    )


def _strata(form: Typed, kind: str, on: date) -> tuple[ReferenceStratum, ...]:
    found: list[ReferenceStratum] = []
    known = strata_choices(kind, on)
    for number in range(ROWS):
        name, events, days = row_fields(number)
        if not any(form.fields.get(n, "").strip() for n in (events, days)):
            continue
        stratum = form.word(name, "Stratum", known, needed=True)
        some = form.number(events, "Reference events", "", 0.0, MOST, needed=True)
        time_at_risk = form.number(days, "Reference days", "", 1.0, MOST, needed=True)
        if stratum is None or some is None or time_at_risk is None:
            continue
        found.append(ReferenceStratum(stratum, some, time_at_risk))
    _check_overlap(form, [row.stratum for row in found])
    return tuple(found)


def _check_overlap(form: Typed, names: list[str]) -> None:
    """A child's day must not be predicted for twice."""
    kinds = {TEMPORARY, PERMANENT}
    families = [
        ALL in names,
        bool(kinds & set(names)),
        bool(set(names) - kinds - {ALL}),
    ]
    if len(set(names)) == len(names) and sum(families) <= 1:
        return
    form.fault(
        "contradiction",
        "Some days would be predicted for twice.",
        row_fields(0)[0],
        "use the whole ward, or kinds of line, or birthweight groups; each once",
    )


def set_count_hour(book: OutcomeRepository, ward: WardRecord, sent: Sent) -> CountHour:
    """Write the hour of a ward's count, from which day, and where that comes from.

    Raises
    ------
    ChartError
        Every fault at once; ``outcomes-no-right``.
    StoreError
        Nothing was written.
    """
    _must_set(sent.by)
    form = Typed(sent.typed)
    starts_on = typed_day(form, STARTS_ON, "From", date.max, needed=True)
    unit = form.word(UNIT, "Kind of unit", tuple(UNIT_KINDS), needed=True)
    source = form.text(SOURCE, "Source", needed=True)
    hour = _hour(form)
    form.raise_faults()
    if starts_on is None or unit is None or source is None or hour is None:
        raise ChartError(form.faults)
    return book.set_hour(ward.key, starts_on, hour, unit, source, sent.by.key)


def _hour(form: Typed) -> time | None:
    typed = form.text(HOUR, "Hour", needed=True)
    if typed is None:
        return None
    try:
        return time.fromisoformat(typed).replace(second=0, microsecond=0, tzinfo=None)
    except ValueError:
        form.fault(
            "bad-hour", "Hour: this is not a time.", HOUR, "write it as in 06:30"
        )
        return None


def _must_set(person: StaffRecord) -> None:
    if not may(person, Right.SET_BASELINES):
        raise ChartError(
            [
                Fault(
                    "outcomes-no-right",
                    "Only an educator or a charge nurse may set this.",
                    "by",
                    "ask one of them",
                )
            ]
        )


ON, CHILDREN, WITH_LINE, NOTE = "on", "children", "with-line", "note"
MOST_CHILDREN = 400
"""More than any ward holds: two numbers ran together."""
FARTHEST_BACK = timedelta(days=400)


def stratum_fields(number: int) -> tuple[str, str]:
    """Return the fields of a birthweight group: infants, and those with a line."""
    return f"infants-{number}", f"infants-with-line-{number}"


def enter_count(
    book: OutcomeRepository, ward: WardRecord, now: datetime, sent: Sent
) -> ManualCount:
    """Write a count of a ward and day; a day counted before is corrected.

    Typed are ``on``, ``children``, ``with-line``, ``temporary`` and ``permanent`` (may
    be left out), ``note``, and for a newborn unit the birthweight groups
    (`stratum_fields`). Another's count is corrected by those who may.

    Raises
    ------
    ChartError
        Every fault at once.
    StoreError
        Nothing was written.
    """
    form = Typed(sent.typed)
    today = ward.day_of(now)
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
        _may_correct(before, sent.by)
    return book.add_count(
        NewCount(
            ward.key, on, children, with_line, sent.by.key, temporary, permanent,
            groups, note, before.id if before else None,
        ),
        sent.submission,
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
    if may_correct_of(person, before.by):
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
