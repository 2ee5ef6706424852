"""Drawings of outcomes as SVG, each with a sentence, a text alternative and a table."""

from lumenkeep.drawing.before_after import before_after_chart
from lumenkeep.drawing.control_chart import ChartedMeasure, control_chart
from lumenkeep.drawing.curves import Horizon, StepCurve, curves_chart
from lumenkeep.drawing.figure import Drawing
from lumenkeep.drawing.funnel_chart import Funnel, FunnelUnit, funnel_chart
from lumenkeep.drawing.gap_chart import gap_chart
from lumenkeep.drawing.item_rows import Share, item_rows
from lumenkeep.drawing.lengths_chart import LengthReading, Lengths, lengths_chart
from lumenkeep.drawing.sum_chart import sum_chart
from lumenkeep.drawing.unit_rates import DrawnEstimate, UnitRate, unit_rates

__all__ = [
    "ChartedMeasure",
    "Drawing",
    "DrawnEstimate",
    "Funnel",
    "FunnelUnit",
    "Horizon",
    "LengthReading",
    "Lengths",
    "Share",
    "StepCurve",
    "UnitRate",
    "before_after_chart",
    "control_chart",
    "curves_chart",
    "funnel_chart",
    "gap_chart",
    "item_rows",
    "lengths_chart",
    "sum_chart",
    "unit_rates",
]
