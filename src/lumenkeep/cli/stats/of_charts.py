"""Control charts, rare-event charts, run rules and cumulative sums, by name."""

from __future__ import annotations

from dataclasses import asdict
from itertools import combinations
from typing import Any

from lumenkeep.cli.stats.arguments import Answer, Parameter, Statistic, equal_length
from lumenkeep.core.outcomes.statistics.charts import (
    ControlChart,
    c_chart,
    p_chart,
    probability_limits,
    u_chart,
)
from lumenkeep.core.outcomes.statistics.cusum import (
    SumPath,
    competence_limits,
    competence_path,
    learning_cusum,
    monitoring_cusum,
    normal_cusum_run_length,
    poisson_cusum,
)
from lumenkeep.core.outcomes.statistics.rare_events import g_chart, t_chart
from lumenkeep.core.outcomes.statistics.run_rules import (
    RULES,
    average_run_length,
    signals,
)

FEWEST_TIMES = 2
RULE_SETS = {
    "+".join(str(RULES.index(rule) + 1) for rule in chosen): chosen
    for size in range(1, len(RULES) + 1)
    for chosen in combinations(RULES, size)
}
"""Every choice of the four rules, by their numbers: "1+3+4"."""


def _chart(chart: ControlChart) -> Answer:
    out = chart.out()
    values = {
        "kind": chart.kind,
        "centre": chart.centre,
        "sigma_z": chart.sigma_z,
        "points": [asdict(point) | {"out": point.is_out} for point in chart.points],
        "out": list(out),
    }
    numbers = ", ".join(map(str, out))
    where = f"outside the limits: {numbers}" if out else "no point outside the limits"
    return f"Centre {chart.centre:.5f}; {where}.", values


def _with_limits(chart: ControlChart, units: list[float], limits: str) -> Answer:
    return _chart(
        probability_limits(chart, units) if limits == "probability" else chart
    )


def _u(events: list[int], units: list[float], limits: str) -> Answer:
    equal_length(events=events, units=units)
    return _with_limits(u_chart(events, units), units, limits)


def _u_prime(events: list[int], units: list[float]) -> Answer:
    equal_length(events=events, units=units)
    return _chart(u_chart(events, units, laney=True))


def _p(events: list[int], sizes: list[int], limits: str) -> Answer:
    _check_sizes(events, sizes)
    return _with_limits(p_chart(events, sizes), [float(n) for n in sizes], limits)


def _p_prime(events: list[int], sizes: list[int]) -> Answer:
    _check_sizes(events, sizes)
    return _chart(p_chart(events, sizes, laney=True))


def _check_sizes(events: list[int], sizes: list[int]) -> None:
    equal_length(events=events, sizes=sizes)
    if any(x > n for x, n in zip(events, sizes, strict=True)):
        raise ValueError("an event count is larger than its size")


def _c(events: list[int], limits: str) -> Answer:
    return _with_limits(c_chart(events), [1.0] * len(events), limits)


def _g(gaps: list[float], least: int) -> Answer:
    if min(gaps) < least:
        raise ValueError(f"a gap is below {least}")
    found = g_chart(gaps, least)
    sentence = (
        f"Centre {found.centre:.3f}, upper limit {found.high:.3f}; a false alarm at one "
        f"point in {1 / found.false_alarm:.0f}."
        if found.false_alarm
        else f"Centre {found.centre:.3f}."
    )
    return sentence, asdict(found)


def _t(times: list[float]) -> Answer:
    if len(times) < FEWEST_TIMES:
        raise ValueError("two times at least are needed")
    found = t_chart(times)
    limits = f"{found.low:.4f} to {found.high:.4f}"
    return f"Centre {found.centre:.5f}, limits {limits} (transformed).", asdict(found)


def _run_rules(
    rules: str, run: int, shift: float, limit: float, z: list[float] | None
) -> Answer:
    chosen = RULE_SETS[rules]
    length = average_run_length(chosen, run=run, shift=shift, limit=limit)
    values: dict[str, Any] = {"rules": list(chosen), "average_run_length": length}
    if z is not None:
        values["signals"] = [
            {"point": number, "rule": rule}
            for number, rule in signals(z, chosen, run=run)
        ]
    what = "a false signal" if shift == 0 else "a signal"
    return f"{what.capitalize()} about every {length:.2f} points.", values


def _cusum(kind: str, **given: Any) -> Answer:
    if kind == "normal":
        return _normal(given["k"], given["h"], given["shift"])
    p0, p1, path = given["p0"], given["p1"], given["path"] or []
    if p0 is None or p1 is None:
        raise ValueError("p0= and p1= are needed")
    if p0 >= p1:
        raise ValueError("p0 must lie below p1")
    if kind == "competence":
        found = competence_limits(p0, p1, given["alpha"], given["beta"])
        values = asdict(found) | {"path": list(competence_path(path, found.s))}
        return (
            (
                f"Step {found.s:.4f}, limits {found.h0:.4f} and {found.h1:.4f}; a clean run "
                f"of {found.clean_run} is needed."
            ),
            values,
        )
    follow = learning_cusum if kind == "learning" else monitoring_cusum
    return _path(follow(path, p0, p1, given["h"]))


def _rate_cusum(
    events: list[int], expected: list[float], ratio: float, h: float
) -> Answer:
    equal_length(events=events, expected=expected)
    return _path(poisson_cusum(events, expected, ratio, h), "period")


def _normal(k: float, h: float, shift: float) -> Answer:
    both = normal_cusum_run_length(k, h, shift)
    one = normal_cusum_run_length(k, h, shift, two_sided=False)
    values = {"average_run_length": both, "average_run_length_one_sided": one}
    return f"A signal about every {both:.2f} points.", values


def _path(found: SumPath, unit: str = "attempt") -> Answer:
    values = {
        "path": list(found.values),
        "signal_at": found.signal,
        "success": found.success,
        "failure": found.failure,
    }
    if found.signal is None:
        return "No signal.", values
    return f"Signal at {unit} {found.signal}.", values


EVENTS = Parameter("events", "wholes", also=("counts", "x"))
UNITS = Parameter("units", "numbers", is_open=True, also=("line_days", "exposure", "n"))
SIZES = Parameter("sizes", "wholes", low=1, also=("n",))
LIMITS = Parameter(
    "limits",
    "word",
    is_needed=False,
    default="sigma",
    words=("sigma", "probability"),
)
RATE = {"low": 0.0, "high": 1.0, "is_open": True}

CHARTS = {
    "u-chart": Statistic("chart of a rate", (EVENTS, UNITS, LIMITS), _u),
    "u-prime-chart": Statistic(
        "chart of a rate with Laney's correction", (EVENTS, UNITS), _u_prime
    ),
    "p-chart": Statistic("chart of a proportion", (EVENTS, SIZES, LIMITS), _p),
    "p-prime-chart": Statistic(
        "chart of a proportion with Laney's correction", (EVENTS, SIZES), _p_prime
    ),
    "c-chart": Statistic("chart of counts", (EVENTS, LIMITS), _c),
    "g-chart": Statistic(
        "chart of cases between rare events",
        (
            Parameter("gaps", "numbers", also=("x",)),
            Parameter("least", "whole", 0, 1, is_needed=False, default=0),
        ),
        _g,
    ),
    "t-chart": Statistic(
        "chart of times between rare events",
        (Parameter("times", "numbers", is_open=True, also=("gaps", "x")),),
        _t,
    ),
    "run-rules": Statistic(
        "false alarms of run rules",
        (
            Parameter("rules", "word", default="1", words=tuple(RULE_SETS)),
            Parameter("run", "whole", 2, 30, is_needed=False, default=8),
            Parameter("shift", "number", -10, 10, is_needed=False, default=0.0),
            Parameter("limit", "number", 2, 6, is_needed=False, default=3.0),
            Parameter("z", "numbers", -1e6, 1e6, is_needed=False),
        ),
        _run_rules,
    ),
    "cusum": Statistic(
        "cumulative sum of failures, of a learner, or of a mean",
        (
            Parameter(
                "kind",
                "word",
                default="competence",
                words=("competence", "learning", "monitoring", "normal"),
            ),
            Parameter("p0", "number", 0.0, 1.0, is_open=True, is_needed=False),
            Parameter("p1", "number", 0.0, 1.0, is_open=True, is_needed=False),
            Parameter("alpha", "number", 0.0, 1.0, is_open=True, default=0.1),
            Parameter("beta", "number", 0.0, 1.0, is_open=True, default=0.1),
            Parameter("h", "number", 0.0, 100.0, is_open=True, default=4.0),
            Parameter("k", "number", 0.0, 10.0, default=0.5),
            Parameter("shift", "number", -10.0, 10.0, default=0.0),
            Parameter("path", "attempts", is_needed=False),
        ),
        _cusum,
    ),
    "rate-cusum": Statistic(
        "cumulative sum of infections against those expected",
        (
            EVENTS,
            Parameter("expected", "numbers", is_open=True, also=("predicted",)),
            Parameter("ratio", "number", 1.0, 100.0, is_open=True, default=2.0),
            Parameter("h", "number", 0.0, 100.0, is_open=True, default=2.0),
        ),
        _rate_cusum,
    ),
}
