"""Units beside each other, and a unit before and after a change, by name."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from lumenkeep.cli.stats.arguments import (
    Answer,
    Parameter,
    Statistic,
    ends,
    equal_length,
    level_option,
    shown,
)
from lumenkeep.core.outcomes.statistics.funnel import (
    SHARES,
    over_dispersion,
    proportion_limits,
    ratio_limits,
)
from lumenkeep.core.outcomes.statistics.segmented import RatioEffect, before_and_after
from lumenkeep.core.outcomes.statistics.shrinkage import (
    posterior,
    posterior_mean,
    shrink,
    shrink_by_moments,
)


def _funnel(
    target: float | None,
    n: list[int] | None,
    predicted: list[float] | None,
    observed: list[int] | None,
) -> Answer:
    if n is not None:
        if target is None or not 0.0 < target < 1.0:
            raise ValueError("a proportion needs a target between 0 and 1")
        rows = [{"n": size} | _named(proportion_limits(target, size)) for size in n]
        return f"Limits of a proportion about {target:g}.", {"limits": rows}
    if predicted is None:
        raise ValueError("give target= and n=, or predicted=")
    goal = 1.0 if target is None else target
    rows = [{"predicted": e} | _named(ratio_limits(e, target=goal)) for e in predicted]
    values: dict[str, Any] = {"limits": rows}
    sentence = f"Limits of a ratio about {goal:g}."
    if observed is not None:
        equal_length(observed=observed, predicted=predicted)
        found = over_dispersion(observed, predicted)
        values["over_dispersion"] = asdict(found)
        wide = "are to be widened" if found.widen else "need no widening"
        sentence += f" Dispersion {found.phi:.4f}: the limits {wide}."
    return sentence, values


def _named(limits: tuple[float, ...]) -> dict[str, float]:
    return {f"{share:g}": limit for share, limit in zip(SHARES, limits, strict=True)}


def _shrinkage(
    observed: list[int],
    predicted: list[float],
    a: float | None,
    b: float | None,
    level: float,
) -> Answer:
    equal_length(observed=observed, predicted=predicted)
    values: dict[str, Any] = {}
    if a is None or b is None:
        if not sum(observed):
            raise ValueError("no event at all")
        found = shrink(observed, predicted)
        a, b, means = found.a, found.b, list(found.means)
        values |= {"log_likelihood": found.log_likelihood, "alike": found.is_alike}
        mean, between, estimates = shrink_by_moments(observed, predicted)
        values["moments"] = {"mean": mean, "between": between, "means": list(estimates)}
    else:
        means = [
            posterior_mean(x, t, a, b) for x, t in zip(observed, predicted, strict=True)
        ]
    units = []
    for x, t, mean in zip(observed, predicted, means, strict=True):
        limits, above = posterior(x, t, a, b, level)
        units.append({"mean": mean, "above_1": above, **ends(limits)})
    values |= {"a": a, "b": b, "units": units}
    sentence = f"Prior shape {a:.4f}, rate {b:.4f}; units drawn to " + ", ".join(
        f"{mean:.4f}" for mean in means
    )
    return f"{sentence}.", values


def _segmented(
    events: list[int], line_days: list[float], change: int, trend: str, level: float
) -> Answer:
    equal_length(events=events, line_days=line_days)
    found = before_and_after(
        events, line_days, change, with_trend=trend == "yes", level=level
    )
    values = {
        "level_ratio": _effect(found.level),
        "trend_before": _effect(found.trend_before),
        "trend_change": _effect(found.trend_change),
        "dispersion": found.dispersion,
        "caution": found.caution,
    }
    return (
        (
            f"The rate changed to {found.level.ratio:.4f} of what was to be expected: "
            f"{shown(found.level.limits)}. {found.caution}"
        ),
        values,
    )


def _effect(effect: RatioEffect | None) -> dict[str, float | None] | None:
    if effect is None:
        return None
    return {"ratio": effect.ratio, "p": effect.p, **ends(effect.limits)}


OBSERVED = Parameter("observed", "wholes", also=("o", "events"))
PREDICTED = Parameter(
    "predicted", "numbers", is_open=True, also=("e", "expected", "line_days")
)

UNITS = {
    "funnel": Statistic(
        "limits about a target by size",
        (
            Parameter("target", "number", is_open=True, is_needed=False),
            Parameter("n", "wholes", low=1, high=1e7, is_needed=False),
            Parameter(
                "predicted",
                "numbers",
                is_open=True,
                is_needed=False,
                also=("e", "expected"),
            ),
            Parameter("observed", "wholes", is_needed=False, also=("o",)),
        ),
        _funnel,
    ),
    "shrinkage": Statistic(
        "small units drawn towards the others",
        (
            OBSERVED,
            PREDICTED,
            Parameter("a", "number", is_open=True, is_needed=False),
            Parameter("b", "number", is_open=True, is_needed=False),
            level_option,
        ),
        _shrinkage,
    ),
    "segmented": Statistic(
        "a rate before and after a change of practice",
        (
            Parameter("events", "wholes"),
            Parameter("line_days", "numbers", is_open=True),
            Parameter("change", "whole", low=2),
            Parameter("trend", "word", default="yes", words=("yes", "no")),
            level_option,
        ),
        _segmented,
    ),
}
