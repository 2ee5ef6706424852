"""What a reader must know before using the outcomes of a period."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.services.outcome_figures import PeriodRow, UsedDay, number_in_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.outcomes.daily_count import CountedDay
    from lumenkeep.services.outcome_ports import CountHour, InfectionEvent


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
    if undecided:
        number = len(undecided)
        told.append(
            f"{number_in_words(number).capitalize()} infection"
            f"{'' if number == 1 else 's'} still {'waits' if number == 1 else 'wait'} "
            "for a decision."
        )
    if whole.by_hand:
        told.append(
            f"{_days(whole.by_hand)} {_are(whole.by_hand)} counted by hand, where the "
            "chart could not."
        )
    unsure = sum(
        any(not line.tip_known for line in child.central)
        for day in days
        if day.count is not None
        for child in day.children
    )
    if unsure:
        told.append(
            f"{unsure:,} of {whole.line_days:,} line-days rest on a line whose tip "
            "nobody has charted; it is taken as central."
        )
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
