"""A look-back for others: its pictures drawn, and all of it as plain values."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC
from typing import TYPE_CHECKING, Any

from lumenkeep.drawing import (
    Horizon,
    curves_chart,
    item_rows,
)
from lumenkeep.ward.look_back.parts import (
    LifePicture,
    LookFigure,
    RatePicture,
    SharePicture,
    SumPicture,
)
from lumenkeep.ward.outcomes.drawings import rate_drawing, sum_drawing

if TYPE_CHECKING:
    from lumenkeep.drawing import Drawing
    from lumenkeep.ward.look_back.parts import LookBack, LookPicture, LookSection


def drawing_of(picture: LookPicture) -> Drawing:
    """Return a picture of a look-back drawn."""
    match picture:
        case RatePicture():
            return rate_drawing(picture.rates, picture.key, picture.title)
        case SumPicture():
            return sum_drawing(
                picture.running, picture.period, picture.key, picture.title
            )
        case SharePicture():
            return _shares(picture)
        case LifePicture():
            return _life(picture)


def _shares(picture: SharePicture) -> Drawing:
    return item_rows(
        picture.key, picture.title, picture.rows, measured=picture.measured
    )


def _life(picture: LifePicture) -> Drawing:
    drawing = curves_chart(
        picture.key,
        picture.title,
        picture.curves,
        quantity="share of dressings",
        horizon=Horizon(picture.horizon, f"day {picture.horizon:g}"),
        among=picture.among,
    )
    # Of a hundred dressings, as beside it: one way of saying it.
    return replace(drawing, sentence=picture.sentence)


def look_back_json(found: LookBack) -> dict[str, Any]:
    """Return a look-back as plain values: figures with the entries behind them.

    Instants are in UTC; nothing in it says who a child is.
    """
    return {
        "ward": found.ward.key,
        "from": found.first.isoformat(),
        "to": found.last.isoformat(),
        "looked_at": found.at.astimezone(UTC).isoformat(timespec="seconds"),
        "sentence": found.sentence,
        "sections": [_section(section) for section in found.sections],
        "left_out": list(found.left_out),
        "entries": {
            str(one.id): {
                "kind": one.kind,
                "line": one.line,
                "happened_at": one.happened_at.astimezone(UTC).isoformat(),
            }
            for one in sorted(found.traced.values(), key=lambda one: one.id)
        },
        "caution": found.caution,
    }


def _section(section: LookSection) -> dict[str, Any]:
    return {
        "key": section.key,
        "title": section.title,
        "sentence": section.sentence,
        "figures": [_figure(figure) for figure in section.figures],
        "drawings": [_drawing(drawing_of(picture)) for picture in section.pictures],
        "more": list(section.lines),
        "not_known": list(section.unknown),
    }


def _figure(figure: LookFigure) -> dict[str, Any]:
    return {
        "key": figure.key,
        "name": figure.name,
        "value": figure.value,
        "words": figure.words,
        "entries": list(figure.entries),
        "elsewhere": [
            {"kind": one.kind, "key": one.key, "words": one.words}
            for one in figure.elsewhere
        ],
    }


def _drawing(drawing: Drawing) -> dict[str, Any]:
    return {
        "title": drawing.title,
        "sentence": drawing.sentence,
        "header": list(drawing.header),
        "rows": [list(row) for row in drawing.rows],
    }
