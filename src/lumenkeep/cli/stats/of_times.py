"""Times to an event, by name: how long something holds, and what ends it."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from lumenkeep.cli.stats.arguments import (
    Answer,
    Parameter,
    Statistic,
    equal_length,
    level_option,
)
from lumenkeep.core.watch.survival.competing import cumulative_incidence
from lumenkeep.core.watch.survival.counted import count
from lumenkeep.core.watch.survival.cox import METHODS, cox
from lumenkeep.core.watch.survival.kaplan_meier import Curve, kaplan_meier, quantile
from lumenkeep.core.watch.survival.limits import KIND, Estimate
from lumenkeep.core.watch.survival.log_rank import WEIGHTS, compare_groups
from lumenkeep.core.watch.survival.nelson_aalen import nelson_aalen

TIMES_GIVEN = Parameter("times", "numbers", also=("durations",))
EVENTS_GIVEN = Parameter("events", "wholes", high=1)
ENDS_GIVEN = Parameter("ends", "wholes", high=20, also=("causes",))
AT = Parameter("at", "number", is_needed=False, also=("before", "day"))


def _survival(
    times: list[float], events: list[int], at: float | None, level: float
) -> Answer:
    equal_length(times=times, events=events)
    counted = count(times, events, n_causes=1)
    curve, summed = kaplan_meier(counted, level), nelson_aalen(counted, level=level)
    middle = quantile(curve)
    values = {
        "n": counted.total,
        "limits": KIND,
        "level": level,
        "median": asdict(middle),
        "times": [
            {
                "time": float(counted.times[row]),
                "at_risk": int(counted.at_risk[row]),
                "events": int(counted.events[row]),
                "survival": float(curve.value[row]),
                "variance": float(curve.variance[row]),
                "low": float(curve.low[row]),
                "high": float(curve.high[row]),
                "summed_hazard": float(summed.value[row]),
                "summed_hazard_variance": float(summed.variance[row]),
            }
            for row in range(len(counted.times))
            if counted.events[row]
        ],
    }
    ended = "not reached" if middle.value is None else f"{middle.value:g}"
    sentence = f"{int(sum(events))} of {counted.total} ended; median {ended}."
    if at is not None:
        found = curve.at(at)
        values["at"] = {"time": at, **asdict(found)}
        sentence += f" Going on after {at:g}: {_shown(found)}."
    return sentence, values


def _incidence(
    times: list[float], ends: list[int], cause: int, at: float | None, level: float
) -> Answer:
    equal_length(times=times, ends=ends)
    counted = count(times, ends, n_causes=max(cause, *ends))
    curve: Curve = cumulative_incidence(counted, cause, level)
    own = counted.by_cause[cause - 1]
    values: dict[str, Any] = {
        "n": counted.total,
        "limits": KIND,
        "level": level,
        "times": [
            {
                "time": float(counted.times[row]),
                "at_risk": int(counted.at_risk[row]),
                "of_this_cause": int(own[row]),
                "of_others": int(counted.events[row] - own[row]),
                "incidence": float(curve.value[row]),
                "variance": float(curve.variance[row]),
                "low": float(curve.low[row]),
                "high": float(curve.high[row]),
            }
            for row in range(len(counted.times))
            if counted.events[row]
        ],
    }
    sentence = f"{int(own.sum())} of {counted.total} ended by cause {cause}."
    if at is not None:
        found = curve.before(at)
        values["before"] = {"time": at, **asdict(found)}
        sentence += f" Ended by it before {at:g}: {_shown(found)}."
    return sentence, values


def _shown(found: Estimate) -> str:
    if found.value is None:
        return "cannot be judged, none was watched that long"
    return f"{found.value:.4f}: {found.low:.4f} to {found.high:.4f}"


def _log_rank(
    times: list[float],
    events: list[int],
    groups: list[int],
    weights: str,
    p: float,
    q: float,
) -> Answer:
    equal_length(times=times, events=events, groups=groups)
    names = sorted(set(groups))
    place = {name: number for number, name in enumerate(names)}
    found = compare_groups(times, events, [place[g] for g in groups], weights, p, q)
    values = asdict(found)
    values["groups"] = [
        {"group": name, **asdict(group)}
        for name, group in zip(names, found.groups, strict=True)
    ]
    if found.chi_square is None:
        return f"There is nothing to compare. {found.caution}", values
    sentence = (
        f"Chi-square {found.chi_square:.4f} with {found.degrees} "
        f"degree{'' if found.degrees == 1 else 's'} of freedom, p {found.p_value:.4g}; "
        "weights are to be chosen before looking."
    )
    return sentence, values


NO_RATIO = ("log_ratio", "se", "ratio", "low", "high", "p_value")
"""What is null of an effect that has no finite value."""


def _cox(
    times: list[float],
    events: list[int],
    x: list[list[float]],
    method: str,
    level: float,
) -> Answer:
    rows = x if len(x) > 1 or len(times) == 1 else [[value] for value in x[0]]
    equal_length(times=times, events=events, x=rows)
    names = [f"x{number}" for number in range(1, len(rows[0]) + 1)]
    found = cox(times, events, rows, names, method, level)
    values = asdict(found)
    if not found.effects:
        return f"There is no hazard ratio. {' '.join(found.cautions)}", values
    values["effects"] = [
        asdict(effect) | ({} if effect.is_finite else dict.fromkeys(NO_RATIO))
        for effect in found.effects
    ]
    shown = "; ".join(
        f"{effect.name} {effect.ratio:.4f}, {effect.low:.4f} to {effect.high:.4f}"
        if effect.is_finite
        else f"{effect.name} cannot be estimated"
        for effect in found.effects
    )
    return f"Hazard ratio {shown}. {' '.join(found.cautions)}".strip(), values


TIMES = {
    "survival": Statistic(
        "the share still going on, by Kaplan and Meier, and the summed hazard",
        (TIMES_GIVEN, EVENTS_GIVEN, AT, level_option),
        _survival,
    ),
    "incidence": Statistic(
        "the share ended by one cause when others compete, by Aalen and Johansen",
        (
            TIMES_GIVEN,
            ENDS_GIVEN,
            Parameter("cause", "whole", 1, 20, is_needed=False, default=1),
            AT,
            level_option,
        ),
        _incidence,
    ),
    "log-rank": Statistic(
        "whether groups end at the same pace",
        (
            TIMES_GIVEN,
            EVENTS_GIVEN,
            Parameter("groups", "wholes", high=1000),
            Parameter(
                "weights", "word", is_needed=False, default="log-rank",
                words=tuple(WEIGHTS),
            ),
            Parameter("p", "number", high=10, is_needed=False, default=0.0),
            Parameter("q", "number", high=10, is_needed=False, default=0.0),
        ),
        _log_rank,
    ),
    "cox": Statistic(
        "how many times faster one kind ends than another",
        (
            TIMES_GIVEN,
            EVENTS_GIVEN,
            Parameter("x", "table", -1e9, also=("covariates",)),
            Parameter("method", "word", is_needed=False, default="efron", words=METHODS),
            level_option,
        ),
        _cox,
    ),
}  # fmt: skip
