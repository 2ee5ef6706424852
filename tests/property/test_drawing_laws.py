"""Laws of the drawings, whatever the numbers: nothing leaves its picture or collides."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from lumenkeep.core.outcomes.statistics.charts import u_chart
from lumenkeep.core.outcomes.statistics.cusum import SumPath
from lumenkeep.core.outcomes.statistics.rare_events import g_chart
from lumenkeep.core.outcomes.statistics.run_rules import signals
from lumenkeep.drawing import (
    ChartedMeasure,
    DrawnEstimate,
    Funnel,
    FunnelUnit,
    Horizon,
    LengthReading,
    Lengths,
    Share,
    StepCurve,
    UnitRate,
    control_chart,
    curves_chart,
    frame,
    funnel_chart,
    gap_chart,
    item_rows,
    lengths_chart,
    sum_chart,
    unit_rates,
)
from lumenkeep.drawing.sheet import text_width

if TYPE_CHECKING:
    import pytest

    from lumenkeep.drawing import Drawing

SVG = "{http://www.w3.org/2000/svg}"
FEW = settings(max_examples=25)
SIZE, ASCENT, DESCENT = 14.0, 10.0, 3.0
NAMES = st.text(
    st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=9
)
WORDS = st.lists(NAMES, min_size=1, max_size=5).map(" ".join)
COUNTS = st.integers(0, 40)
SIZES = st.floats(0.5, 5000.0)


def boxes(
    svg: str,
) -> tuple[float, float, list[tuple[str, float, float, float, float]]]:
    """Return the size of a picture and the box of each of its texts."""
    picture = ET.fromstring(svg)  # noqa: S314
    _, _, width, height = map(float, picture.attrib["viewBox"].split())
    found = []
    for text in picture.iter(f"{SVG}text"):
        words = text.text or ""
        wide = text_width(words, bold="font-weight" in text.attrib)
        shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.attrib["text-anchor"]]
        left, foot = float(text.attrib["x"]) - shift * wide, float(text.attrib["y"])
        found.append((words, left, foot - ASCENT, left + wide, foot + DESCENT))
    return width, height, found


def faults(drawing: Drawing) -> list[str]:
    """Return texts that leave their picture or lie on each other."""
    found = []
    for svg in (drawing.svg, drawing.narrow):
        width, height, texts = boxes(svg)
        for n, (words, left, top, right, bottom) in enumerate(texts):
            fits = right - left <= width - 8
            if fits and (left < 0 or right > width + 0.1):
                found.append(f"{words} leaves at the side")
            if top < 0 or bottom > height:
                found.append(f"{words} leaves above or below")
            for other, left2, top2, right2, bottom2 in texts[n + 1 :]:
                beside = min(right, right2) - max(left, left2) <= 1
                if not beside and min(bottom, bottom2) - max(top, top2) > 1:
                    found.append(f"{words} / {other}")
    return found


def is_whole(drawing: Drawing) -> None:
    """Assert what holds for every drawing."""
    assert not faults(drawing)
    assert {len(row) for row in drawing.rows} <= {len(drawing.header)}
    assert drawing.sentence.endswith(".")
    assert drawing.alternative


@FEW
@given(
    st.lists(st.tuples(COUNTS, SIZES, NAMES), min_size=1, max_size=40),
    st.booleans(),
    st.sampled_from([1.0, 100.0, 1000.0]),
)
def test_rates_by_period(
    points: list[tuple[int, float, str]], laney: bool, per: float
) -> None:
    counts, sizes, names = zip(*points, strict=True)
    chart = u_chart(counts, sizes, laney=laney)
    z = [p.value - chart.centre for p in chart.points]

    is_whole(
        control_chart(
            "k", "t", chart, names, ChartedMeasure("infections", per), counts=counts,
            sizes=sizes, signals=signals(z),
        )
    )  # fmt: skip


@FEW
@given(st.lists(st.tuples(st.integers(0, 9000), NAMES), min_size=1, max_size=40))
def test_gaps_between_infections(gaps: list[tuple[int, str]]) -> None:
    lengths, names = zip(*gaps, strict=True)

    is_whole(gap_chart("k", "t", g_chart(lengths), lengths, names, "line-days"))


@FEW
@given(
    st.lists(st.floats(0.0, 30.0), min_size=1, max_size=40),
    st.floats(0.5, 20.0),
    st.data(),
)
def test_sums(values: list[float], limit: float, data: st.DataObject) -> None:
    signal = data.draw(st.none() | st.integers(1, len(values)))
    names = [f"{n} Nov" for n in range(1, len(values) + 1)]

    is_whole(
        sum_chart(
            "k", "t", SumPath(tuple(values), signal, -1.0, 1.0), limit, names,
            sought="infections have doubled",
        )
    )  # fmt: skip


LIMITS = st.tuples(st.floats(0, 90), st.floats(0, 90), st.floats(0, 90)).map(sorted)
ESTIMATES = st.none() | LIMITS.map(lambda v: DrawnEstimate(v[1], v[0], v[2]))


@FEW
@given(st.lists(st.tuples(WORDS, COUNTS, SIZES, ESTIMATES, ESTIMATES), max_size=9))
def test_rates_of_wards(units: list[tuple]) -> None:  # type: ignore[type-arg]
    is_whole(unit_rates("k", "t", [UnitRate(*unit) for unit in units], mean=2.0))


@FEW
@given(
    st.lists(st.tuples(WORDS, st.integers(0, 99), st.integers(0, 99)), max_size=12),
    st.none() | st.floats(0.0, 1.0),
)
def test_shares(items: list[tuple[str, int, int]], target: float | None) -> None:
    shares = [Share(name, min(done, of), of, 0.1, 0.9) for name, done, of in items]

    is_whole(item_rows("k", "t", shares, measured="lines in order", target=target))


@FEW
@given(
    st.lists(
        st.tuples(NAMES, st.lists(st.floats(0, 1), min_size=1, max_size=12)),
        min_size=1,
        max_size=3,
    ),
    st.booleans(),
    st.none() | st.floats(0.5, 9.0),
)
def test_curves(
    told: list[tuple[str, list[float]]], has_limits: bool, horizon: float | None
) -> None:
    curves = []
    for name, shares in told:
        rising = tuple(sorted(shares))
        limits = (tuple(v / 2 for v in rising), tuple((1 + v) / 2 for v in rising))
        times = tuple(float(n) for n in range(len(rising)))
        curves.append(StepCurve(name, times, rising, *(limits if has_limits else ())))

    is_whole(
        curves_chart(
            "k", "t", curves, quantity="share of dressings",
            horizon=Horizon(horizon, "day n") if horizon else None,
        )
    )  # fmt: skip


@FEW
@given(
    st.lists(
        st.tuples(
            st.integers(0, 900), st.floats(0, 300), st.sampled_from(["", "5 mm out"])
        ),
        min_size=1,
        max_size=30,
    ),
    st.none() | st.floats(0, 300),
    st.none() | st.floats(0.5, 20),
)
def test_lengths(
    told: list[tuple[int, float, str]], baseline: float | None, limit: float | None
) -> None:
    start = datetime(2026, 1, 1, 9, tzinfo=UTC)
    readings = tuple(
        LengthReading(start + timedelta(days=day), mm, signal=signal)
        for day, mm, signal in sorted(told)
    )

    is_whole(
        lengths_chart(
            "k", "t", Lengths(readings, baseline, limit, limit), UTC, sentence="It lies."
        )
    )  # fmt: skip


@FEW
@given(
    st.lists(
        st.tuples(WORDS, st.floats(0.1, 60), st.floats(0, 8)), min_size=1, max_size=12
    )
)
def test_funnels(told: list[tuple[str, float, float]]) -> None:
    def limits(size: float) -> tuple[float, float, float, float]:
        reach = size**-0.5
        return (
            max(0.0, 1 - 3 * reach), max(0.0, 1 - 2 * reach), 1 + 2 * reach,
            1 + 3 * reach,
        )  # fmt: skip

    units = tuple(
        FunnelUnit(name, size, value, limits(size)) for name, size, value in told
    )

    is_whole(funnel_chart("k", "t", Funnel(units, 1.0, limits)))


def test_labels_on_each_other_are_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(frame, "spread", lambda places, _top, _bottom: list(places))
    curves = [
        StepCurve(name, (0.0, 1.0), (0.0, share))
        for name, share in (("failed", 0.50), ("changed", 0.51))
    ]

    drawing = curves_chart("k", "t", curves, quantity="share of dressings")

    assert faults(drawing) == ["changed / failed", "changed / failed"]
