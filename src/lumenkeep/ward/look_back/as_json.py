"""A look-back as plain values, its pictures drawn."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from lumenkeep.drawing import Drawing
    from lumenkeep.ward.look_back.parts import LookBack, LookFigure, LookSection


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
        "drawings": [_drawing(one.drawing) for one in section.pictures],
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
