"""What the page of outcomes shows: tables and links, made from the service's answer."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.urls import reverse

from lumenkeep.text.moments import counted, plain_day
from lumenkeep.ward.outcomes.figures import shown
from lumenkeep.ward.outcomes.records import UNIT_KINDS
from lumenkeep.ward.site.pages.shapes import Link

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from lumenkeep.ward.outcomes.figures import PeriodRow
    from lumenkeep.ward.outcomes.manual import HandAgainstChart, Sampling
    from lumenkeep.ward.outcomes.outcomes_of import Outcomes
    from lumenkeep.ward.outcomes.ratio import StratumDays
    from lumenkeep.ward.outcomes.records import CountHour


def days_href(
    ward: str, first: date, last: date, of: str = "", known_on: date | None = None
) -> str:
    """Return the address of the days behind a number, as known at the end of a day."""
    told = {
        "from": first.isoformat(),
        "to": last.isoformat(),
        "of": of,
        "known": known_on.isoformat() if known_on else "",
    }
    query = urlencode({key: value for key, value in told.items() if value})
    return f"{reverse('outcome-days', args=[ward])}?{query}"


MonthLine = tuple[Link, tuple[str, ...], Link | None]
"""A month and its days, its figures, and the days that are missing, if any."""


def month_lines(found: Outcomes, known_on: date | None) -> tuple[MonthLine, ...]:
    """Return a row of the table of line-days for each month, and one for all."""
    rows = [(row.period.label, row) for row in found.months]
    if len(rows) > 1:
        rows.append(("All", found.whole))
    return tuple(_month_line(found.ward.key, name, row, known_on) for name, row in rows)


def _month_line(
    ward: str, name: str, row: PeriodRow, known_on: date | None
) -> MonthLine:
    first, last = row.period.first, row.period.last
    rate = "–" if row.rate is None else shown(row.rate)
    use = "–" if row.use is None else f"{row.use:.2f}"
    missing = days_href(ward, first, last, "missing", known_on)
    return (
        Link(name, days_href(ward, first, last, "", known_on)),
        (
            f"{row.events:,}",
            f"{row.line_days:,}",
            rate,
            f"{row.child_days:,}",
            use,
            f"{row.temporary:,}",
            f"{row.permanent:,}",
            f"{row.open_line_days:,}",
            f"{len(row.open_infections):,}",
        ),
        Link(str(len(row.missing)), missing) if row.missing else None,
    )


def strata_lines(
    strata: Sequence[StratumDays], hour: CountHour | None
) -> tuple[tuple[str, ...], ...]:
    """Return the birthweight groups of a newborn unit; nothing for another."""
    if hour is None or hour.unit != "newborn":
        return ()
    return tuple(
        (
            row.stratum,
            f"{row.child_days:,}",
            f"{row.line_days:,}",
            f"{row.line_days / row.child_days:.2f}" if row.child_days else "–",
        )
        for row in strata
        if row.child_days is not None and row.stratum != "all"
    )


def beside_lines(beside: HandAgainstChart) -> tuple[tuple[str, ...], ...]:
    """Return a row for each month counted both ways."""
    return tuple(
        (
            month.month.label,
            month.words,
            f"{month.days}",
            f"{month.by_hand:,}",
            f"{month.by_chart:,}",
        )
        for month in beside.months
    )


def sampling_lines(sampling: Sampling) -> tuple[tuple[str, ...], ...]:
    """Return a row for each month estimated from one day a week."""
    rows = []
    for month in sampling.months:
        if month.sampled is None:
            rows.append((month.month.label, "–", "–", f"{month.full:,}"))
            continue
        rows.append(
            (
                month.month.label,
                counted(len(month.days), "day", "days"),
                f"{month.sampled.line_days:,.0f}",
                f"{month.full:,}",
            )
        )
    return tuple(rows)


def hour_words(hour: CountHour | None) -> str:
    """Return when and how the ward counts."""
    if hour is None:
        return "No hour of the count is set for this ward."
    unit = UNIT_KINDS.get(hour.unit, hour.unit)
    return (
        f"Counted at {hour.hour:%H:%M} each day since {plain_day(hour.starts_on)} "
        f"({hour.source}). {unit}."
    )
