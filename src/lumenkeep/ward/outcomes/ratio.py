"""Observed against predicted: infections and line-days, by a baseline somebody entered.

The baseline stands beside each ratio with its source. Nothing is predicted by numbers
of our own: there are none here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model.entry import not_put_right
from lumenkeep.core.outcomes.counting import predicted_from_strata
from lumenkeep.core.outcomes.daily_count import UNKNOWN_STRATUM, strata_of_day
from lumenkeep.core.outcomes.statistics.ratios import (
    FEWEST_PREDICTED,
    StandardisedRatio,
    standardised_ratio,
)
from lumenkeep.text.moments import plain_day
from lumenkeep.ward.outcomes.figures import HAND, UsedDay, within
from lumenkeep.ward.outcomes.records import Baseline

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

    from lumenkeep.core.outcomes.daily_count import CountedDay
    from lumenkeep.core.outcomes.protocol import Protocol
    from lumenkeep.ward.outcomes.records import ManualCount

ALL, TEMPORARY, PERMANENT = "all", "temporary", "permanent"
SIGNIFICANT = 0.05


@dataclass(frozen=True, slots=True)
class StratumDays:
    """Own days of a stratum; child-days are None where they are not counted by it."""

    stratum: str
    child_days: int | None
    line_days: int


def strata_of_period(
    used: Sequence[UsedDay],
    days: Sequence[CountedDay],
    by_hand: Mapping[date, ManualCount],
    protocol: Protocol,
) -> tuple[StratumDays, ...]:
    """Return the days of each stratum: all, kinds of line, and birthweight groups.

    A day by hand without groups goes to the group that is not charted.
    """
    by_day = {day.on: day for day in days}
    groups: dict[str, tuple[int, int]] = {}
    for day in used:
        if day.count is None:
            continue
        if day.source == HAND:
            whole = {UNKNOWN_STRATUM: (day.count.children, day.count.with_line)}
            found = dict(by_hand[day.on].strata) or whole
        else:
            found = strata_of_day(by_day[day.on].children, protocol)
        for name, (children, lines) in found.items():
            had = groups.get(name, (0, 0))
            groups[name] = (had[0] + children, had[1] + lines)
    counts = [day.count for day in used if day.count is not None]
    first = [
        StratumDays(
            ALL, sum(c.children for c in counts), sum(c.with_line for c in counts)
        ),
        StratumDays(TEMPORARY, None, sum(c.temporary for c in counts)),
        StratumDays(PERMANENT, None, sum(c.permanent for c in counts)),
    ]
    return (*first, *(StratumDays(n, *groups[n]) for n in _ordered(groups, protocol)))


def _ordered(groups: Iterable[str], protocol: Protocol) -> list[str]:
    known = stratum_names(protocol)
    last = len(known)
    return sorted(groups, key=lambda n: known.index(n) if n in known else last)


def stratum_names(protocol: Protocol) -> tuple[str, ...]:
    """Return the birthweight groups, lightest first."""
    names = [protocol.stratum(float(upper)) for upper in protocol.strata_g]
    heaviest = protocol.stratum(float(protocol.strata_g[-1]) + 1)
    return tuple(name for name in (*names, heaviest) if name is not None)


PER = 1000.0


@dataclass(frozen=True, slots=True)
class RatioFigure:
    """A standardised ratio with the baseline it rests on.

    ``found`` is None where no baseline fits the time; ``parts`` are the strata with
    own days, reference rate and what it predicts.
    """

    kind: str
    words: str
    baseline: Baseline | None
    observed: int
    predicted: float | None
    found: StandardisedRatio | None
    parts: tuple[tuple[str, float, float, float], ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """What is set against the baseline."""
        is_infections = self.kind == "infections"
        return "Infections against a baseline" if is_infections else "Use of lines"

    @property
    def source(self) -> str:
        """The baseline and where it comes from, in words; empty without one."""
        held = self.baseline
        if held is None:
            return ""
        told = (
            f"Baseline: {held.source}, for {plain_day(held.first)} to "
            f"{plain_day(held.last)}, entered {plain_day(held.written_at.date())}."
        )
        if self.kind == "infections":
            told += " Mucosal-barrier forms are left out of the infections observed."
        return told

    @property
    def rows(self) -> tuple[tuple[str, ...], ...]:
        """The strata as rows of a table: days, rate per 1000 days, and predicted."""
        return tuple(
            (name, f"{days:,.0f}", f"{rate * PER:.2f}", f"{part:.2f}")
            for name, days, rate, part in self.parts
        )


def standing_baselines(baselines: Iterable[Baseline]) -> list[Baseline]:
    """Return the baselines that were not corrected, oldest first."""
    return not_put_right(baselines)


def fitting(
    baselines: Iterable[Baseline], kind: str, first: date, last: date
) -> Baseline | None:
    """Return the newest baseline for a time.

    One with a predicted number fits its own days exactly; one with reference rates
    fits any time inside its days.
    """
    fit = [
        b
        for b in standing_baselines(baselines)
        if b.kind == kind
        and (
            (b.first, b.last) == (first, last)
            if b.predicted is not None
            else b.first <= first and last <= b.last
        )
    ]
    return fit[-1] if fit else None


def ratio_of(
    kind: str,
    observed: int,
    baseline: Baseline | None,
    strata: Sequence[StratumDays],
) -> RatioFigure:
    """Return the ratio of what was observed to what the baseline predicts.

    Parameters
    ----------
    kind
        "infections" or "line-days".
    strata
        Own days; those of a stratum that the baseline does not name predict nothing,
        and that is said.
    """
    what = "infections" if kind == "infections" else "line-days"
    if baseline is None:
        words = (
            f"No ratio: nobody has entered how many {what} are predicted for this "
            "time, with the source."
        )
        return RatioFigure(kind, words, None, observed, None, None)
    parts: tuple[tuple[str, float, float, float], ...] = ()
    cautions: tuple[str, ...] = ()
    predicted = baseline.predicted
    if predicted is None:
        predicted, parts, cautions = _predicted(kind, baseline, strata)
    found = standardised_ratio(observed, predicted)
    return RatioFigure(
        kind, _words(what, found), baseline, observed, predicted, found, parts, cautions
    )


def _predicted(
    kind: str, baseline: Baseline, strata: Sequence[StratumDays]
) -> tuple[float, tuple[tuple[str, float, float, float], ...], tuple[str, ...]]:
    own = {
        s.stratum: s.line_days if kind == "infections" else s.child_days for s in strata
    }
    rows = [
        (r.stratum, float(own.get(r.stratum) or 0), r.events, r.days)
        for r in baseline.strata
    ]
    total, each = predicted_from_strata([row[1:] for row in rows])
    parts = tuple(
        (name, days, events / per, part)
        for (name, days, events, per), part in zip(rows, each, strict=True)
    )
    placed, whole = sum(row[1] for row in rows), float(own.get(ALL) or 0)
    lost = whole - placed
    if lost <= 0:
        return total, parts, ()
    caution = (
        f"{lost:,.0f} of {whole:,.0f} days lie in no stratum of the baseline; they "
        "predict nothing, so the ratio is if anything too high."
    )
    return total, parts, (caution,)


def _words(what: str, found: StandardisedRatio) -> str:
    expected = f"{found.predicted:,.2f} predicted"
    if found.value is None:
        return (
            f"No ratio: {found.observed:,} {what} and {expected}. Below "
            f"{FEWEST_PREDICTED:g} predicted a ratio says nothing."
        )
    p = found.p if found.p is not None else 1.0
    if p > SIGNIFICANT:
        sure = "chance alone could do this"
    elif found.value > 1:
        sure = "more than chance alone explains"
    else:
        sure = "fewer than chance alone explains"
    return (
        f"{found.observed:,} {what}, {expected}: ratio {found.value:.2f} "
        f"{within(found.mid_p, 2)}, {sure}."
    )
