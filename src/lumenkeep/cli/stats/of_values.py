"""Counts, rates, ratios, proportions and agreement, by name."""

from __future__ import annotations

from typing import Any

from lumenkeep.cli.stats.arguments import (
    Answer,
    Parameter,
    Statistic,
    ends,
    level_option,
    shown,
)
from lumenkeep.core.outcomes.counting import utilisation_ratio
from lumenkeep.core.outcomes.statistics.agreement import (
    Agreement,
    cohen_kappa,
    fleiss_kappa,
)
from lumenkeep.core.outcomes.statistics.counts import (
    approximate_count_limits,
    exact_count_limits,
    mid_p_count_limits,
    rate_per_1000,
)
from lumenkeep.core.outcomes.statistics.proportions import (
    newcombe_difference,
    proportion,
    sample_size_for_width,
)
from lumenkeep.core.outcomes.statistics.ratios import (
    compare_two_rates,
    standardised_ratio,
)

EVENTS = Parameter("events", "whole", also=("n", "x"))
LINE_DAYS = Parameter("line_days", "number", is_open=True, also=("days", "exposure"))


def _poisson(events: int, line_days: float | None, level: float) -> Answer:
    exact, mid = exact_count_limits(events, level), mid_p_count_limits(events, level)
    values: dict[str, Any] = {
        "events": events,
        "level": level,
        "exact": ends(exact),
        "mid_p": ends(mid),
        "byar": ends(approximate_count_limits(events, level)),
    }
    if line_days is None:
        return f"{events} events: exact {shown(exact)}.", values
    rate = rate_per_1000(events, line_days, level)
    values |= {
        "line_days": line_days,
        "rate_per_1000": rate.value,
        "rate_exact": ends(rate.exact),
        "rate_mid_p": ends(rate.mid_p),
    }
    sentence = f"{rate.value:.4f} per 1000 line-days: exact {shown(rate.exact)}."
    return sentence, values


def _sir(observed: int, predicted: float, level: float) -> Answer:
    found = standardised_ratio(observed, predicted, level)
    values = {
        "observed": observed,
        "predicted": predicted,
        "sir": found.value,
        "mid_p": ends(found.mid_p),
        "exact": ends(found.exact),
        "p": found.p,
    }
    if found.value is None:
        return (
            (
                f"No ratio: fewer than 1.0 events were predicted "
                f"({observed} observed, {predicted:g} predicted)."
            ),
            values,
        )
    return f"Ratio {found.value:.4f}: mid-P {shown(found.mid_p)}.", values


def _two_rates(x1: int, t1: float, x2: int, t2: float, level: float) -> Answer:
    if x1 + x2 == 0:
        raise ValueError("with no event at all there is nothing to compare")
    found = compare_two_rates(x1, t1, x2, t2, level)
    values = {
        "rate_ratio": found.ratio,
        "exact": ends(found.exact),
        "mid_p": ends(found.mid_p),
        "p_exact_doubled": found.p_exact,
        "p_mid_p": found.p_mid,
        "p_small_probabilities": found.p_small,
        "z": found.z,
    }
    ratio = "without end" if found.ratio is None else f"{found.ratio:.4f}"
    return f"Rate ratio {ratio}: exact {shown(found.exact)}.", values


def _wilson(x: int, n: int, level: float) -> Answer:
    if x > n:
        raise ValueError(f"{x} out of {n}")
    found = proportion(x, n, level)
    values = {
        "x": x,
        "n": n,
        "proportion": found.value,
        "wilson": ends(found.wilson),
        "wilson_continuity": ends(found.wilson_corrected),
        "clopper_pearson": ends(found.exact),
        "mid_p": ends(found.mid_p),
    }
    return f"{found.value:.4f}: {shown(found.wilson, 5)}.", values


def _newcombe(x1: int, n1: int, x2: int, n2: int, level: float) -> Answer:
    if x1 > n1 or x2 > n2:
        raise ValueError("more successes than trials")
    found = newcombe_difference(x1, n1, x2, n2, level)
    values = {"difference": found.value} | ends(found.limits)
    return f"Difference {found.value:.4f}: {shown(found.limits)}.", values


def _agreement(found: Agreement) -> Answer:
    values = {
        "observed_agreement": found.observed,
        "chance_agreement": found.by_chance,
        "kappa": found.kappa,
        "se": found.se,
        "se_null": found.se_null,
        "kappa_linear": found.linear,
        "kappa_quadratic": found.quadratic,
        "caution": found.caution,
    }
    if found.kappa is None:
        return str(found.caution), values
    sentence = f"Agreement {found.observed:.4f}, kappa {found.kappa:.4f}."
    return " ".join([sentence, found.caution or ""]).strip(), values


def _kappa(
    table: list[list[float]] | None,
    a: int | None,
    b: int | None,
    c: int | None,
    d: int | None,
) -> Answer:
    if table is None:
        if a is None or b is None or c is None or d is None:
            raise ValueError("give table=, or a=, b=, c= and d=")
        table = [[a, b], [c, d]]
    if len(table) != len(table[0]) or not sum(map(sum, table)):
        raise ValueError("the table is not square, or is empty")
    return _agreement(cohen_kappa(table))


def _fleiss(table: list[list[float]]) -> Answer:
    sums = {sum(row) for row in table}
    if len(sums) != 1 or min(sums) <= 1:
        raise ValueError("every row needs the same sum, of two judgements or more")
    return _agreement(fleiss_kappa(table))


def _utilisation(line_days: float, child_days: float) -> Answer:
    ratio = utilisation_ratio(line_days, child_days)
    sentence = f"Utilisation ratio {ratio:.4f}."
    if ratio is not None and ratio > 1:
        sentence += (
            " Above 1 it cannot be: a child with several lines is one line-day. "
            "A count is wrong."
        )
    return sentence, {"utilisation_ratio": ratio}


def _sample_size(share: float, half_width: float, level: float) -> Answer:
    n = sample_size_for_width(share, half_width, level)
    return f"{n} observations.", {"observations": n}


def _count(name: str, *also: str, least: float = 0.0) -> Parameter:
    return Parameter(name, "whole", low=least, also=also)


def _cell(name: str) -> Parameter:
    return Parameter(name, "whole", is_needed=False)


RATES = (
    _count("x1", "events1", "events_1"),
    Parameter("t1", "number", is_open=True, also=("line_days1", "line_days_1")),
    _count("x2", "events2", "events_2"),
    Parameter("t2", "number", is_open=True, also=("line_days2", "line_days_2")),
    level_option,
)
TABLE = Parameter("table", "table")
_OPTIONAL_DAYS = Parameter(
    "line_days",
    "number",
    is_open=True,
    is_needed=False,
    also=("days", "exposure"),
)

VALUES = {
    "poisson": Statistic(
        "limits of a count, and of its rate per 1000",
        (EVENTS, _OPTIONAL_DAYS, level_option),
        _poisson,
    ),
    "rate": Statistic(
        "infections per 1000 line-days", (EVENTS, LINE_DAYS, level_option), _poisson
    ),
    "sir": Statistic(
        "observed over predicted",
        (
            _count("observed", "o"),
            Parameter("predicted", "number", is_open=True, also=("expected", "e")),
            level_option,
        ),
        _sir,
    ),
    "two-rates": Statistic("two rates compared", RATES, _two_rates),
    "wilson": Statistic(
        "limits of a proportion",
        (_count("x"), _count("n", least=1), level_option),
        _wilson,
    ),
    "newcombe": Statistic(
        "difference of two proportions",
        (
            _count("x1"),
            _count("n1", least=1),
            _count("x2"),
            _count("n2", least=1),
            level_option,
        ),
        _newcombe,
    ),
    "kappa": Statistic(
        "agreement of two people",
        (
            Parameter("table", "table", is_needed=False),
            _cell("a"),
            _cell("b"),
            _cell("c"),
            _cell("d"),
        ),
        _kappa,
    ),
    "fleiss-kappa": Statistic("agreement of several people", (TABLE,), _fleiss),
    "utilisation": Statistic(
        "line-days for each child-day",
        (
            Parameter("line_days", "number"),
            Parameter("child_days", "number", is_open=True, also=("patient_days",)),
        ),
        _utilisation,
    ),
    "sample-size": Statistic(
        "observations for a proportion of a stated width",
        (
            Parameter("share", "number", 0.0, 1.0, is_open=True, default=0.5),
            Parameter("half_width", "number", 0.0, 0.5, is_open=True),
            level_option,
        ),
        _sample_size,
    ),
}
