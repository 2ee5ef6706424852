"""Read the bounds of the world, and a set's own words about them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from lumenkeep.core.model.quantities import whole_or_not
from lumenkeep.core.policy.bounds import Band, Bound
from lumenkeep.core.policy.numbers import UNITS, DatedValue, Number, read_value
from lumenkeep.core.policy.rule_texts import filled, sentence_faults

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lumenkeep.core.model.reading import Reader
    from lumenkeep.core.policy.read_basics import RuleReader
    from lumenkeep.core.policy.rules import Rule

BOUND = "bound"
OLDEST_DAYS = 50_000
_NO_DAY = date.min


def _bound(row: Reader, reading: RuleReader) -> Bound:
    """Return one bound; its two ends become numbers that rules may name."""
    shared = reading.shared(row)
    unit = row.word("unit", UNITS, needed=True) or "count"
    start = row.day("from", needed=True) or _NO_DAY
    low, high = _end(row, "low", unit), _end(row, "high", unit)
    bands = []
    for band in row.rows("by_age"):
        days = band.whole("days", low=0, high=OLDEST_DAYS, unit="days", needed=True)
        bands.append(Band(days or 0, _end(band, "low", unit), _end(band, "high", unit)))
        band.finish()
    bound = Bound(
        **shared,
        low=low,
        high=high,
        unit=unit,
        start=start.isoformat(),
        bands=tuple(bands),
        restates=row.flag("restates"),
    )
    _in_order(row, bound)
    for key, value in (("low", low), ("high", high)):
        id_ = f"{bound.id}.{key}"
        dated = DatedValue(start, value, f"{value:g}", bound.source, bound.how)
        reading.into.numbers[id_] = Number(
            id_, f"{bound.because} ({key})", unit, (dated,), row.path(key)
        )
    reading.into.faults += sentence_faults(bound, reading.into.numbers)
    told = filled(bound, reading.into.numbers, start)
    return replace(bound, because=told.because)


def _end(row: Reader, key: str, unit: str) -> float:
    raw = row.raw(key)
    if raw is None:
        row.fault("missing", f"'{key}' is missing.", key, f"add a value in {unit}")
        return 0
    try:
        return whole_or_not(read_value(raw, unit))  # type: ignore[arg-type]  # no time
    except (ValueError, TypeError):
        row.fault(
            "bad-number",
            f"This is not a value in {unit}.",
            key,
            f"write a number of {unit}",
        )
        return 0


def _in_order(row: Reader, bound: Bound) -> None:
    """Note a fault where a bound ends below where it begins, or a band lies outside."""
    ends = [bound.span, *((band.low, band.high) for band in bound.bands)]
    days = [band.days for band in bound.bands]
    if any(low > high for low, high in ends) or days != sorted(set(days)):
        row.fault(
            "turned-round",
            f"The bound '{bound.id}' lets nothing through, or its ages are not in order.",
            "low",
            "write the lesser value under low, and the ages from the youngest up",
        )
    if any(low < bound.low or high > bound.high for low, high in ends):
        row.fault(
            "turned-round",
            f"An age of the bound '{bound.id}' goes beyond the bound itself.",
            "by_age",
            "let low and high of the bound take in those of every age",
        )


BOUND_KINDS: Mapping[str, Callable[[Reader, RuleReader], Rule]] = {BOUND: _bound}
