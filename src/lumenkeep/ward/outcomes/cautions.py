"""What a reader must know before using the outcomes of a period."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.ward.outcomes.figures import PeriodRow, UsedDay, number_in_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.outcomes.daily_count import CountedDay
    from lumenkeep.ward.outcomes.records import CountHour, InfectionEvent

A_WEEK = 7


def cautions_of(
    whole: PeriodRow,
    used: Sequence[UsedDay],
    days: Sequence[CountedDay],
    undecided: Sequence[InfectionEvent],
    hour: CountHour | None,
    year: str,
) -> tuple[str, ...]:
    """Return what must be known before the figures are used, most weighty first."""
    told = []
    if hour is None:
        told.append(
            "No hour of the count is set for this ward, so the chart cannot be counted."
        )
    if missing := len(whole.missing):
        told.append(
            f"{_days(missing)} could not be counted and {_are(missing)} missing from "
            "the line-days; infections of those days are counted, so the rate is if "
            "anything too high."
        )
    told += _of_infections(whole, undecided)
    if whole.by_hand:
        told.append(
            f"{_days(whole.by_hand)} {_are(whole.by_hand)} counted by hand, where the "
            "chart could not."
        )
    if whole.open_line_days:
        number = whole.open_line_days
        told.append(
            f"{number:,} line-day{'' if number == 1 else 's'} {_are(number)} left out: "
            "nobody has charted where the tip of the line lies. Blood of such a line "
            "is left out as well."
        )
    told += _of_quiet_children(days)
    if any(day.why == "not-yet" for day in used):
        told.append("The period is not over.")
    if year:
        told.append(year)
    return tuple(told)


def _days(number: int) -> str:
    words = number_in_words(number).capitalize()
    return f"{words} day{'' if number == 1 else 's'}"


def _are(number: int) -> str:
    return "is" if number == 1 else "are"


def _of_infections(whole: PeriodRow, undecided: Sequence[InfectionEvent]) -> list[str]:
    """Say which infections count without a decision, and which may yet count."""
    told = []
    counted = sum(not event.is_decided for event in whole.infections)
    if counted:
        words = number_in_words(counted).capitalize()
        told.append(
            f"{words} infection{'' if counted == 1 else 's'} of these "
            f"{_are(counted)} counted as proposed; nobody has confirmed "
            f"{'it' if counted == 1 else 'them'} yet."
        )
    if cannot := sum(event.counts is None for event in undecided):
        words = number_in_words(cannot).capitalize()
        told.append(
            f"{words} positive blood culture{'' if cannot == 1 else 's'} "
            f"{'waits' if cannot == 1 else 'wait'} for a fact: whether "
            f"{'it belongs' if cannot == 1 else 'they belong'} to a line cannot be "
            "said yet."
        )
    waiting = sum(event.counts is False for event in undecided)
    if waiting:
        words = number_in_words(waiting).capitalize()
        told.append(
            f"{words} positive blood culture{'' if waiting == 1 else 's'} more "
            f"{'waits' if waiting == 1 else 'wait'} for a decision and "
            f"{'does' if waiting == 1 else 'do'} not count so far."
        )
    barrier = sum(event.is_barrier for event in whole.infections)
    if barrier:
        words = number_in_words(barrier).capitalize()
        told.append(
            f"{words} of the infections {_are(barrier)} of the mucosal-barrier form: "
            "counted in the rate, left out of the ratio."
        )
    return told


def _of_quiet_children(days: Sequence[CountedDay]) -> list[str]:
    """Ask after children who lie there by the chart, and of whom nobody charts."""
    last = [day.quiet for day in days if day.count is not None][-A_WEEK:]
    quiet = len(frozenset.intersection(*last)) if len(last) == A_WEEK else 0
    if not quiet:
        return []
    words = number_in_words(quiet).capitalize()
    they = "has it" if quiet == 1 else "have they"
    return [
        (
            f"{words} child{'' if quiet == 1 else 'ren'} lay here by the chart for the last "
            f"week with nothing charted: {they} left?"
        )
    ]
