"""The sections on outcomes: infections, line-days, rate and ratio, and each infection."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING

from lumenkeep.text.moments import plain_day
from lumenkeep.ward.look_back.parts import (
    Elsewhere,
    LookFigure,
    LookPicture,
    LookSection,
)
from lumenkeep.ward.outcomes.drawings import rate_drawing, sum_drawing
from lumenkeep.ward.outcomes.outcomes_of import Outcomes, OutcomeSources, outcomes_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.ward.look_back.request import LookBackRequest
    from lumenkeep.ward.outcomes.figures import Figure, UsedDay
    from lumenkeep.ward.outcomes.ratio import RatioFigure
    from lumenkeep.ward.outcomes.records import InfectionEvent

PORT = "outcomes"
NO_TYPE = "none"


def outcome_sections(asked: LookBackRequest) -> tuple[LookSection, ...]:
    """Return the figures of the period, and each infection; none without the port."""
    sources = asked.sources.more.get(PORT)
    if not isinstance(sources, OutcomeSources):
        return ()
    # The look-back compares no wards, so the others need not be counted.
    sources = replace(sources, wards=(asked.ward,))
    found = outcomes_of(sources, asked.ward.key, asked.first, asked.last, asked.at)
    return _outcomes(found), _infections(found)


def _outcomes(found: Outcomes) -> LookSection:
    """Return infections, line-days, rate with exact limits, and the ratios."""
    counted = _entries(found)
    whole = found.whole
    events = tuple(_elsewhere(event) for event in whole.infections)
    figures = [
        LookFigure(
            "infections",
            "Infections that belong to a line",
            f"{whole.events:,}",
            "",
            tuple(dict.fromkeys(e for i in whole.infections for e in i.entries)),
            events,
        ),
        LookFigure("line-days", "Line-days", f"{whole.line_days:,}", _hand(found),
                   counted, _counts(found)),
        _figure("rate", "Rate per 1000 line-days", found.rate, counted, events),
        _figure("use", "Use of lines", found.use, counted, _counts(found)),
        _ratio("infection-ratio", "Standardised infection ratio",
               found.infection_ratio, counted, events),
        _ratio("use-ratio", "Standardised use ratio", found.use_ratio, counted, ()),
    ]  # fmt: skip
    missing = whole.missing
    if missing:
        figures.append(
            LookFigure(
                "missing",
                "Days that could not be counted",
                f"{len(missing):,}",
                _missing_words(missing),
                tuple(dict.fromkeys(e for day in missing for e in day.entries)),
            )
        )
    return LookSection(
        "outcomes",
        "Infections and line-days",
        found.sentence,
        tuple(figures),
        _pictures(found),
        _lines(found),
        unknown=found.cautions,
    )


def _missing_words(missing: Sequence[UsedDay]) -> str:
    """Return why days are missing, days in a row with one reason together."""
    told = []
    for words, run in groupby(missing, lambda day: day.words):
        days = list(run)
        span = plain_day(days[0].on)
        if len(days) > 1:
            span += f" to {plain_day(days[-1].on)}"
        told.append(f"{span}: {words}")
    return " ".join(told)


def _entries(found: Outcomes) -> tuple[int, ...]:
    return tuple(dict.fromkeys(e for day in found.used for e in day.entries))


def _hand(found: Outcomes) -> str:
    days = found.whole.by_hand
    if not days:
        return ""
    return f"{days} {'day' if days == 1 else 'days'} of it counted by hand."


def _counts(found: Outcomes) -> tuple[Elsewhere, ...]:
    return tuple(
        Elsewhere("count", str(day.hand), f"count by hand of {plain_day(day.on)}")
        for day in found.used
        if day.hand is not None
    )


def _figure(
    key: str,
    name: str,
    figure: Figure,
    entries: tuple[int, ...],
    elsewhere: tuple[Elsewhere, ...],
) -> LookFigure:
    value = "not known" if figure.value is None else f"{figure.value:.2f}"
    return LookFigure(key, name, value, figure.words, entries, elsewhere)


def _ratio(
    key: str,
    name: str,
    ratio: RatioFigure,
    entries: tuple[int, ...],
    elsewhere: tuple[Elsewhere, ...],
) -> LookFigure:
    found = ratio.found
    value = "no ratio" if found is None or found.value is None else f"{found.value:.2f}"
    words = " ".join([ratio.words, *ratio.cautions])
    return LookFigure(key, name, value, words, entries, elsewhere)


def _elsewhere(event: InfectionEvent) -> Elsewhere:
    return Elsewhere("infection", event.key, _name(event))


def _name(event: InfectionEvent) -> str:
    """Return what was determined and its day; a culture where nothing is yet."""
    what = "Positive blood culture" if event.type == NO_TYPE else event.type
    return f"{what} of {plain_day(event.on)}"


def _pictures(found: Outcomes) -> tuple[LookPicture, ...]:
    pictures: list[LookPicture] = []
    if found.by_period is not None:
        title = f"Infections by {found.unit}"
        given: tuple[object, ...] = (found.by_period,)
        pictures.append(LookPicture("outcomes-rate", title, rate_drawing, given))
    if found.running is not None:
        title = "Infections added up"
        given = found.running, found.unit
        pictures.append(LookPicture("outcomes-sum", title, sum_drawing, given))
    return tuple(pictures)


def _lines(found: Outcomes) -> tuple[str, ...]:
    told = [found.between.words] if found.whole.line_days else []
    if found.running is not None:
        told += [f"{found.running.words} {found.running.cost}"]
    if found.change is not None:
        told += [f"{found.change.words} {found.change.caution}"]
    return tuple(told)


def _infections(found: Outcomes) -> LookSection:
    """Return each infection of the ward, and those that wait for a decision."""
    events = found.whole.infections
    number = len(events)
    figures = [
        LookFigure(
            f"infection-{event.key}",
            _name(event),
            "decided" if event.is_decided else "proposed, not yet decided",
            "Mucosal-barrier form: left out of the standardised ratio."
            if event.is_barrier
            else "",
            event.entries,
            (_elsewhere(event),),
        )
        for event in events
    ]
    waiting = tuple(
        f"{_name(event)} waits for "
        f"{'a fact' if event.counts is None else 'a decision'}."
        for event in found.undecided
    )
    sentence = "No infection belongs to a line."
    if number:
        sentence = f"{number} {'infection belongs' if number == 1 else 'infections belong'} to a line."
    return LookSection("infections", "Each infection", sentence, tuple(figures),
                       unknown=waiting)  # fmt: skip
