"""A funnel whose outer limits lie above every ward: they are drawn all the same."""

from __future__ import annotations

import scipy.stats  # noqa: F401  its loading must not count as a test's time

from lumenkeep.core.outcomes.statistics.funnel import ratio_limits
from lumenkeep.drawing import Funnel, FunnelUnit, funnel_chart


def test_wards_too_small_for_limits_near_them_are_drawn() -> None:
    units = tuple(
        FunnelUnit(name, size, value, ratio_limits(size))  # type: ignore[arg-type]
        for name, size, value in (("Kestrel", 1.5, 0.7), ("Wren", 0.9, 0.0))
    )

    drawing = funnel_chart("few", "Few", Funnel(units, 1.0, ratio_limits))

    assert drawing.svg.count("99.8 %") == 2
    assert [row[0] for row in drawing.rows] == ["Kestrel", "Wren"]
