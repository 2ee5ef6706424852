"""Enter what a ratio is measured against, and the hour at which a ward counts."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import TYPE_CHECKING

from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.outcomes.count_days import protocol_for
from lumenkeep.ward.outcomes.ratio import ALL, PERMANENT, TEMPORARY, stratum_names
from lumenkeep.ward.outcomes.records import (
    BASELINE_KINDS,
    UNIT_KINDS,
    Baseline,
    CountHour,
    NewBaseline,
    ReferenceStratum,
)
from lumenkeep.ward.site.typed_days import typed_day
from lumenkeep.ward.site.typed_values import Typed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.ward.outcomes.records import OutcomeBook
    from lumenkeep.ward.site.people import StaffRecord, WardRecord

SETS_BASELINES = ("educator", "charge-nurse")
ROWS = 5
KIND, FIRST, LAST, PREDICTED, SOURCE = "kind", "first", "last", "predicted", "source"
HOUR, UNIT, STARTS_ON = "hour", "unit", "starts-on"
MOST = 9_999_999.0


def may_set(person: StaffRecord) -> bool:
    """Return whether this person may enter baselines and the hour of the count."""
    return person.role in SETS_BASELINES


def row_fields(number: int) -> tuple[str, str, str]:
    """Return the fields of a reference rate: its stratum, events and days."""
    return f"stratum-{number}", f"events-{number}", f"days-{number}"


def strata_choices(kind: str, on: date) -> tuple[str, ...]:
    """Return the strata that a reference rate may be given for."""
    groups = stratum_names(protocol_for(on).protocol)
    return (ALL, *((TEMPORARY, PERMANENT) if kind == "infections" else ()), *groups)


def enter_baseline(
    book: OutcomeBook,
    ward: WardRecord,
    now: datetime,
    *,
    typed: Mapping[str, str],
    person: StaffRecord,
    submission: str,
) -> Baseline:
    """Write a baseline: a predicted number for a time, or reference rates with days.

    Parameters
    ----------
    typed
        ``kind``, ``first``, ``last``, ``source``; and either ``predicted`` or rows of
        `row_fields`. Where they come from is the user's to state; none is made here.

    Raises
    ------
    ChartError
        Every fault at once; ``outcomes-no-right``.
    StoreError
        Nothing was written.
    """
    _must_set(person)
    form = Typed(typed)
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
        NewBaseline(ward.key, kind, first, last, source, person.key, predicted, strata),
        submission,
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


def set_count_hour(
    book: OutcomeBook,
    ward: WardRecord,
    *,
    typed: Mapping[str, str],
    person: StaffRecord,
) -> CountHour:
    """Write the hour of a ward's count, from which day, and where that comes from.

    Raises
    ------
    ChartError
        Every fault at once; ``outcomes-no-right``.
    StoreError
        Nothing was written.
    """
    _must_set(person)
    form = Typed(typed)
    starts_on = typed_day(form, STARTS_ON, "From", date.max, needed=True)
    unit = form.word(UNIT, "Kind of unit", tuple(UNIT_KINDS), needed=True)
    source = form.text(SOURCE, "Source", needed=True)
    hour = _hour(form)
    form.raise_faults()
    if starts_on is None or unit is None or source is None or hour is None:
        raise ChartError(form.faults)
    return book.set_hour(ward.key, starts_on, hour, unit, source, person.key)


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
    if not may_set(person):
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
