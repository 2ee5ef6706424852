"""Drawings of outcomes as SVG, each with a sentence, a text alternative and a table."""

from lumenkeep.exchange.drawings.before_after import before_after_chart
from lumenkeep.exchange.drawings.control_chart import Measured, control_chart
from lumenkeep.exchange.drawings.curves import Curve, Horizon, curves_chart
from lumenkeep.exchange.drawings.drawing import Drawing
from lumenkeep.exchange.drawings.funnel_chart import Funnel, FunnelUnit, funnel_chart
from lumenkeep.exchange.drawings.gap_chart import gap_chart, time_chart
from lumenkeep.exchange.drawings.item_rows import Share, item_rows
from lumenkeep.exchange.drawings.lengths_chart import Lengths, Reading, lengths_chart
from lumenkeep.exchange.drawings.sum_chart import sum_chart
from lumenkeep.exchange.drawings.unit_rates import Estimate, UnitRate, unit_rates

__all__ = [
    "Curve",
    "Drawing",
    "Estimate",
    "Funnel",
    "FunnelUnit",
    "Horizon",
    "Lengths",
    "Measured",
    "Reading",
    "Share",
    "UnitRate",
    "before_after_chart",
    "control_chart",
    "curves_chart",
    "funnel_chart",
    "gap_chart",
    "item_rows",
    "lengths_chart",
    "sum_chart",
    "time_chart",
    "unit_rates",
]
