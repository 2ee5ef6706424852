"""The outcomes of a ward and period: the answer first, and all that stands behind it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.daily_count import CountedDay
from lumenkeep.errors import Fault, InputError
from lumenkeep.ward.outcomes.cautions import cautions_of
from lumenkeep.ward.outcomes.change import (
    BeforeAfter,
    ChangeDay,
    compare_about,
    policy_changes,
)
from lumenkeep.ward.outcomes.charts import (
    BetweenChart,
    RateChart,
    RunningSum,
    between_chart,
    rate_chart,
    running_sum,
)
from lumenkeep.ward.outcomes.count_days import count_days, hour_on, protocol_for
from lumenkeep.ward.outcomes.figures import (
    Figure,
    Period,
    PeriodRow,
    UsedDay,
    days_in_use,
    months_of,
    periods_of,
    rate_figure,
    row_of,
    use_figure,
)
from lumenkeep.ward.outcomes.manual import (
    HandAgainstChart,
    Sampling,
    beside_each_other,
    sample_weekly,
    standing_counts,
)
from lumenkeep.ward.outcomes.ratio import (
    RatioFigure,
    StratumDays,
    fitting,
    ratio_of,
    strata_of_period,
)
from lumenkeep.ward.outcomes.records import (
    CountHour,
    InfectionEvent,
    ManualCount,
)
from lumenkeep.ward.outcomes.wards import WardFunnel, funnel_of
from lumenkeep.ward.site.people import WardRecord
from lumenkeep.ward.versions.records import StepRecord

if TYPE_CHECKING:
    from lumenkeep.core.outcomes.protocol import Protocol
    from lumenkeep.ward.outcomes.repository import OutcomeRepository  # noqa: TC004
    from lumenkeep.ward.outcomes.sources import (  # noqa: TC004
        ChartInfections,
        DayRepository,
    )
    from lumenkeep.ward.site.people import Clock

LONGEST = timedelta(days=3660)
TUESDAY = 2
RULES_OF_COUNTING = ("R25", "R26", "R27", "R28", "R29")


@dataclass(frozen=True, slots=True)
class OutcomeSources:
    """Where the outcomes of a ward come from.

    ``wards`` are those that may be seen; ``steps`` say which policy was in force.
    """

    wards: Sequence[WardRecord]
    days: DayRepository
    book: OutcomeRepository
    infections: ChartInfections
    steps: Sequence[StepRecord] = ()


def outcome_sources(
    hospital: Sequence[WardRecord],
    seen: Sequence[WardRecord] | None = None,
    clock: Clock | None = None,
) -> OutcomeSources:
    """Return where the outcomes of wards come from, in the database.

    Parameters
    ----------
    hospital
        All wards.
    seen
        Those that may be seen and compared; None: all.
    clock
        Tells when something is entered.
    """
    # They know of the tables; what is worked out from them need not.
    from lumenkeep.ward.outcomes.repository import OutcomeRepository
    from lumenkeep.ward.outcomes.sources import ChartInfections, DayRepository
    from lumenkeep.ward.versions.in_force import ward_steps

    return OutcomeSources(
        hospital if seen is None else seen,
        DayRepository(),
        OutcomeRepository(clock),
        ChartInfections(hospital),
        ward_steps(),
    )


@dataclass(frozen=True, slots=True)
class Outcomes:
    """What a ward's outcomes come to in a period.

    Attributes
    ----------
    sentence
        The answer: infections, line-days, rate and limits.
    cautions
        What the reader must know before using it, most weighty first.
    hour
        At what hour the ward counts; None where none is set.
    rate, use, infection_ratio, use_ratio
        The figures. Observed in the ratio of infections leaves out mucosal-barrier
        forms.
    whole, months, rows
        Sums of the whole period, by calendar month, and by the periods of the charts.
    used, days
        Each day as the figures use it, and as the chart counts it.
    by_hand
        Counts by hand that stand, by day.
    undecided
        Infections that may belong to a line, where a fact or a decision is missing.
    to_confirm
        What of the rules of counting was not seen, to be laid beside the edition in
        force.
    """

    ward: WardRecord
    first: date
    last: date
    sentence: str
    cautions: tuple[str, ...]
    hour: CountHour | None
    rate: Figure
    use: Figure
    infection_ratio: RatioFigure
    use_ratio: RatioFigure
    whole: PeriodRow
    months: tuple[PeriodRow, ...]
    rows: tuple[PeriodRow, ...]
    unit: str
    used: tuple[UsedDay, ...]
    days: tuple[CountedDay, ...]
    by_hand: Mapping[date, ManualCount]
    undecided: tuple[InfectionEvent, ...]
    strata: tuple[StratumDays, ...]
    beside: HandAgainstChart | None
    sampling: Sampling
    by_period: RateChart | None
    between: BetweenChart
    running: RunningSum | None
    funnel: WardFunnel | None
    changes: tuple[ChangeDay, ...]
    change: BeforeAfter | None
    to_confirm: tuple[str, ...] = ()

    @property
    def missing(self) -> tuple[UsedDay, ...]:
        """Days without any count, each with the reason."""
        return self.whole.missing


def outcomes_of(
    sources: OutcomeSources,
    ward: str,
    first: date,
    last: date,
    at: datetime,
    *,
    known_at: datetime | None = None,
    change_on: date | None = None,
    weekday: int = TUESDAY,
) -> Outcomes:
    """Return the outcomes of a ward from ``first`` to ``last``, both included.

    Parameters
    ----------
    sources
        Where counts, infections and baselines come from.
    at
        The present (UTC).
    known_at
        The chart as it was known then (UTC).
    change_on
        A day of a change of practice; None takes the first change of policy.
    weekday
        Of the estimate from one day a week; 1 is Monday.

    Raises
    ------
    InputError
        ``outcomes-bad-period`` or ``outcomes-no-such-ward``.
    """
    here = _ward(sources, ward)
    _check(first, last)
    protocol = protocol_for(last)
    wards = list(sources.wards)
    keys = [w.key for w in wards]
    counted = count_days(
        sources.days, sources.book, wards, first, last, at, known_at=known_at
    )
    entered = sources.book.counts(keys, first, last)
    hours = sources.book.hours(keys)
    hour = hour_on(hours, ward, last)
    all_events = sources.infections.events(keys, first, last)
    used_of, hand_of = {}, {}
    for key in keys:
        hand_of[key] = standing_counts(c for c in entered if c.ward == key)
        used_of[key] = days_in_use(counted[key], hand_of[key])
    days, used, by_hand = counted[ward], used_of[ward], hand_of[ward]
    own = [event for event in all_events if event.ward == ward]
    infections = [event for event in own if event.counts]
    whole = row_of(Period("all", first, last), used, own)
    periods, unit = periods_of(first, last)
    rows = tuple(row_of(period, used, own) for period in periods)
    months = tuple(row_of(m, used, own) for m in months_of(first, last))
    rate = rate_figure(whole, used)
    strata = strata_of_period(used, days, by_hand, protocol.protocol)
    baselines = sources.book.baselines(ward)
    ratio = ratio_of(
        "infections",
        sum(not event.is_barrier for event in infections),
        fitting(baselines, "infections", first, last),
        strata,
    )
    use_ratio = ratio_of(
        "line-days",
        whole.line_days,
        fitting(baselines, "line-days", first, last),
        strata,
    )
    changes = policy_changes(sources.steps, here, first, last)
    undecided = tuple(e for e in own if e.counts is None or not e.is_decided)
    return Outcomes(
        ward=here,
        first=first,
        last=last,
        sentence=rate.words,
        cautions=cautions_of(whole, used, days, undecided, hour, protocol.caution),
        hour=hour,
        rate=rate,
        use=use_figure(whole, used),
        infection_ratio=ratio,
        use_ratio=use_ratio,
        whole=whole,
        months=months,
        rows=rows,
        unit=unit,
        used=used,
        days=days,
        by_hand=by_hand,
        undecided=undecided,
        strata=strata,
        beside=beside_each_other(days, by_hand, protocol.protocol),
        sampling=_sampling(used, first, last, weekday, hour, protocol.protocol),
        by_period=rate_chart(rows, unit),
        between=between_chart(whole, used),
        running=_running(rows, unit, ratio, whole),
        funnel=funnel_of(_beside(wards, used_of, all_events, first, last), ward),
        changes=changes,
        change=_change(change_on, changes, first, last, used, infections),
        to_confirm=_to_confirm(protocol.protocol),
    )


def _to_confirm(protocol: Protocol) -> tuple[str, ...]:
    told = (protocol.rules[rule].to_confirm for rule in RULES_OF_COUNTING)
    return tuple(words for words in told if words is not None)


def _ward(sources: OutcomeSources, key: str) -> WardRecord:
    for ward in sources.wards:
        if ward.key == key:
            return ward
    raise InputError(
        [
            Fault(
                "outcomes-no-such-ward",
                "There is no ward of this key that may be seen.",
                "ward",
                "choose one of: " + ", ".join(w.key for w in sources.wards),
            )
        ]
    )


def _check(first: date, last: date) -> None:
    if first <= last and last - first <= LONGEST:
        return
    raise InputError(
        [
            Fault(
                "outcomes-bad-period",
                "The first day lies after the last, or the time is longer than ten "
                "years.",
                "period",
                "give the first and the last day, in order",
            )
        ]
    )


def _sampling(
    used: Sequence[UsedDay],
    first: date,
    last: date,
    weekday: int,
    hour: CountHour | None,
    protocol: Protocol,
) -> Sampling:
    counts = {day.on: day.count for day in used if day.count is not None}
    unit = hour.unit if hour else "other"
    return sample_weekly(counts, first, last, weekday, unit, protocol)


def _running(
    rows: Sequence[PeriodRow], unit: str, ratio: RatioFigure, whole: PeriodRow
) -> RunningSum | None:
    """Return the running sum against the baseline, else against the period's own mean.

    A baseline knows no mucosal-barrier forms, so they are left out against it, as they
    are in the ratio.
    """
    if not whole.line_days:
        return None
    if ratio.predicted:
        rate = ratio.predicted / whole.line_days * 1000
        like = [
            replace(
                row, infections=tuple(i for i in row.infections if not i.is_barrier)
            )
            for row in rows
        ]
        told = "the baseline entered for this time"
        if any(i.is_barrier for i in whole.infections):
            told += ", with mucosal-barrier forms left out"
        return running_sum(like, unit, rate, told)
    own = "this period’s own mean, which hides a rise that lasted all through it"
    return running_sum(rows, unit, whole.rate or 0.0, own)


def _beside(
    wards: Sequence[WardRecord],
    used: Mapping[str, Sequence[UsedDay]],
    events: Sequence[InfectionEvent],
    first: date,
    last: date,
) -> list[tuple[str, str, int, int]]:
    return [
        (
            ward.key,
            ward.name,
            sum(bool(e.counts) for e in events if e.ward == ward.key),
            row_of(Period("all", first, last), used[ward.key], ()).line_days,
        )
        for ward in wards
    ]


def _change(
    change_on: date | None,
    changes: Sequence[ChangeDay],
    first: date,
    last: date,
    used: Sequence[UsedDay],
    infections: Sequence[InfectionEvent],
) -> BeforeAfter | None:
    day = changes[0] if changes else None
    if change_on is not None and first < change_on <= last:
        named = [change for change in changes if change.on == change_on]
        day = named[0] if named else ChangeDay(change_on, "the day chosen")
    return None if day is None else compare_about(day, first, last, used, infections)
