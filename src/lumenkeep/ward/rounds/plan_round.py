"""Whom to visit today, so that the month's share has the width the policy asks for."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.rounds.look import LineLook
from lumenkeep.core.outcomes.rounds.sampling import (
    VisitPlan,
    looks_needed,
    visits_of_day,
)
from lumenkeep.ward.chart.records import LineRecord

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.numbers import Value
    from lumenkeep.ward.chart.store.repository import ChartRepository
    from lumenkeep.ward.rounds.repository import RoundRepository
    from lumenkeep.ward.site.people import WardRecord

PERCENT = 100.0


@dataclass(frozen=True, slots=True)
class RoundOfDay:
    """A ward's round on one day.

    Attributes
    ----------
    lines
        Lines in place: those drawn for today first, then by bed.
    visits
        How many looks the month needs and has, and whom to visit today; None where
        the policy plans no rounds.
    half_width
        How far the month's share may lie from the truth (0 to 1).
    seen_today
        Looks of today, the newest first.
    done_by_unit, done_from_outside
        Looks of this month before today.
    """

    lines: tuple[LineRecord, ...]
    visits: VisitPlan | None
    half_width: float
    seen_today: tuple[LineLook, ...]
    done_by_unit: int = 0
    done_from_outside: int = 0


def plan_round(
    book: RoundRepository,
    chart: ChartRepository,
    policy: Policy,
    ward: WardRecord,
    now: datetime,
    *,
    from_unit: bool | None = None,
) -> RoundOfDay:
    """Return a ward's round on the day of ``now`` (UTC).

    Parameters
    ----------
    from_unit
        Whether whoever walks belongs to the unit; None where that is said at each
        line. Looks of the unit and from outside are never added up, so each kind
        needs its own; where it is not known, the kind that lacks more is planned for.

    Notes
    -----
    The month's possible looks are taken as today's lines on each of its days.
    """
    today = ward.day_of(now)
    midnight = datetime.combine(today, time(), ward.zone)
    month = datetime.combine(today.replace(day=1), time(), ward.zone)
    looks = book.looks([ward.key], month, midnight + timedelta(days=1))
    seen_today = tuple(look for look in reversed(looks) if look.at >= midnight)
    lines = sorted(chart.lines_in(ward.key), key=lambda line: (line.bed, line.key))
    if not policy.round_plans:
        return RoundOfDay(tuple(lines), None, 0.0, seen_today)
    plan, rules = policy.round_plans[0], policy.on(today)
    half_width = _share(rules.value(plan.half_width))
    days = monthrange(today.year, today.month)[1]
    earlier = [look for look in looks if look.at < midnight]
    apart = {
        kind: [look for look in earlier if look.from_unit is kind]
        for kind in (True, False)
    }
    own = min(apart.values(), key=len) if from_unit is None else apart[from_unit]
    visits = visits_of_day(
        [line.key for line in lines],
        today,
        needed=looks_needed(
            _share(rules.value(plan.expected)), half_width, days * len(lines)
        ),
        done=len(own),
        days_left=days - today.day + 1,
        visited=[look.line for look in own],
    )
    return RoundOfDay(
        tuple(_drawn_first(lines, visits.today)),
        visits,
        half_width,
        seen_today,
        len(apart[True]),
        len(apart[False]),
    )


def _drawn_first(lines: Sequence[LineRecord], drawn: Sequence[str]) -> list[LineRecord]:
    place = {key: number for number, key in enumerate(drawn)}
    return sorted(lines, key=lambda line: place.get(line.key, len(place)))


def _share(value: Value) -> float:
    return float(value) / PERCENT  # type: ignore[arg-type]  # percent is a number
