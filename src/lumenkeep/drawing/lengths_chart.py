"""External lengths of one catheter over time, with its baseline and what was noticed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING

from lumenkeep.drawing.beside import NamedPoint, into_lanes, write_lanes
from lumenkeep.drawing.figure import FigureText, counted, drawn, number
from lumenkeep.drawing.frame import (
    Axis,
    Frame,
    Label,
    draw_frame,
    left_edge,
    plot_height,
    right_edge,
    round_axis,
    ticks_up,
    write_labels,
    write_title,
)
from lumenkeep.drawing.ticks import date_ticks, day_text

if TYPE_CHECKING:
    from lumenkeep.drawing.figure import Drawing
    from lumenkeep.drawing.sheet import Sheet

ABOUT_WIDE, ABOUT_NARROW = 7, 4
LEAST_RANGE_MM = 10.0  # of the picture, so that a millimetre looks small
DAY_SECONDS = 86400.0


@dataclass(frozen=True, slots=True)
class LengthReading:
    """A length read at an instant (UTC); ``note`` says what made it hard to compare.

    ``signal`` is the word for what was noticed at it, if anything was.
    """

    at: datetime
    mm: float
    note: str = ""
    signal: str = ""


@dataclass(frozen=True, slots=True)
class Lengths:
    """What is drawn.

    Attributes
    ----------
    readings
        Oldest first, at least one.
    baseline_mm
        What lengths are compared with; None where there is none.
    error_mm
        Half the width within which two readings may differ by measuring alone.
    limit_mm
        How far from the baseline the policy alerts at once; None where it names none.
    """

    readings: tuple[LengthReading, ...]
    baseline_mm: float | None
    error_mm: float | None = None
    limit_mm: float | None = None


def lengths_chart(
    key: str, title: str, lengths: Lengths, zone: tzinfo, *, sentence: str
) -> Drawing:
    """Return lengths drawn over time.

    Parameters
    ----------
    zone
        Of the ward; days are its days.
    sentence
        What was concluded and how sure it is, by whoever judged it.
    """
    readings = lengths.readings
    told = FigureText(
        title,
        sentence,
        _alternative(lengths, zone),
        ("day", "external length, mm", "from baseline, mm", "noticed", "note"),
        tuple(
            (
                _day(reading, zone),
                number(reading.mm),
                "no baseline"
                if lengths.baseline_mm is None
                else number(reading.mm - lengths.baseline_mm),
                reading.signal or "none",
                reading.note or "none",
            )
            for reading in readings
        ),
    )
    return drawn(key, told, lambda sheet: _paint(sheet, lengths, zone))


def _day(reading: LengthReading, zone: tzinfo) -> str:
    day = reading.at.astimezone(zone).date()
    return f"{day_text(day)} {day.year}"


def _alternative(lengths: Lengths, zone: tzinfo) -> str:
    first, last = lengths.readings[0], lengths.readings[-1]
    told = [
        (
            f"{counted(len(lengths.readings), 'length')} from {_day(first, zone)} to "
            f"{_day(last, zone)}: first {number(first.mm)} mm, last {number(last.mm)} mm."
        ),
        "No baseline is charted."
        if lengths.baseline_mm is None
        else f"Baseline {number(lengths.baseline_mm)} mm.",
    ]
    if lengths.limit_mm is not None and lengths.baseline_mm is not None:
        told.append(f"Dashed lines {number(lengths.limit_mm)} mm to either side of it.")
    told += [
        f"Marked with a diamond: {_day(r, zone)}, {r.signal}."
        for r in lengths.readings
        if r.signal
    ]
    return " ".join(told)


def _paint(sheet: Sheet, lengths: Lengths, zone: tzinfo) -> None:
    up, labels = _upright(sheet, lengths), _labels(sheet, lengths)
    left, right = left_edge(up), right_edge(sheet, labels)
    across = _days(sheet, lengths, zone)
    named = [
        NamedPoint(across.part(reading.at.timestamp()), reading.mm, reading.signal)
        for reading in lengths.readings
        if reading.signal
    ]
    lanes = into_lanes(named, left, right, sheet.width)
    top = write_title(sheet, _measured(lengths)) + lanes.height
    frame = Frame(left, right, top, top + plot_height(sheet), across, up)
    draw_frame(sheet, frame)
    _paint_baseline(sheet, frame, lengths)
    places = [frame.place(r.at.timestamp(), r.mm) for r in lengths.readings]
    sheet.trace("trace", _held(places))
    for reading, place in zip(lengths.readings, places, strict=True):
        if reading.signal:
            sheet.diamond(place)
        sheet.point(place, "hollow" if reading.note else "point")
    write_lanes(sheet, frame, lanes)
    write_labels(sheet, frame, labels)


def _measured(lengths: Lengths) -> str:
    words = "external length, mm"
    if lengths.baseline_mm is not None and lengths.error_mm:
        words += "; shaded: may be measuring error"
    if any(reading.note for reading in lengths.readings):
        words += "; hollow: hard to compare, see the numbers"
    return words


def _held(places: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return steps: a length is taken to hold until the next one is read."""
    found = places[:1]
    for x, y in places[1:]:
        found += [(x, found[-1][1]), (x, y)]
    return found


def _upright(sheet: Sheet, lengths: Lengths) -> Axis:
    seen = [reading.mm for reading in lengths.readings]
    if lengths.baseline_mm is not None:
        reach = max(lengths.limit_mm or 0.0, lengths.error_mm or 0.0)
        seen += [lengths.baseline_mm - reach, lengths.baseline_mm + reach]
    low, high = min(seen), max(seen)
    middle = (low + high) / 2.0
    half = max((high - low) / 2.0, LEAST_RANGE_MM / 2.0)
    return round_axis(max(0.0, middle - half), middle + half, ticks_up(sheet))


def _labels(sheet: Sheet, lengths: Lengths) -> list[Label]:
    base, limit = lengths.baseline_mm, lengths.limit_mm
    if base is None:
        return []
    found = [Label(base, f"baseline {number(base)}", "deep")]
    if limit is not None:
        more = "" if sheet.is_narrow else " mm out"
        less = "" if sheet.is_narrow else " mm in"
        found.append(Label(base + limit, f"{number(limit)}{more or ' out'}", "deep"))
        if base - limit >= 0:
            found.append(Label(base - limit, f"{number(limit)}{less or ' in'}", "deep"))
    return found


def _days(sheet: Sheet, lengths: Lengths, zone: tzinfo) -> Axis:
    first, last = lengths.readings[0].at, lengths.readings[-1].at
    low = first.timestamp() - DAY_SECONDS
    high = max(last.timestamp(), low + DAY_SECONDS) + DAY_SECONDS
    about = ABOUT_NARROW if sheet.is_narrow else ABOUT_WIDE
    ticks = date_ticks(
        datetime.fromtimestamp(low, zone).date(),
        datetime.fromtimestamp(high, zone).date(),
        about,
    )
    marks = tuple(
        (datetime(day.year, day.month, day.day, tzinfo=zone).timestamp(), words)
        for day, words in ticks
    )
    return Axis(low, high, tuple(m for m in marks if low <= m[0] <= high))


def _paint_baseline(sheet: Sheet, frame: Frame, lengths: Lengths) -> None:
    base = lengths.baseline_mm
    if base is None:
        return
    if lengths.error_mm:
        low, high = frame.y(base - lengths.error_mm), frame.y(base + lengths.error_mm)
        sheet.band(
            [
                (frame.left, high),
                (frame.right, high),
                (frame.right, low),
                (frame.left, low),
            ]
        )
    sheet.line("centre", (frame.left, frame.y(base)), (frame.right, frame.y(base)))
    if lengths.limit_mm is not None:
        for edge in (base - lengths.limit_mm, base + lengths.limit_mm):
            if edge >= frame.up.low:
                y = frame.y(edge)
                sheet.line("limit", (frame.left, y), (frame.right, y))
