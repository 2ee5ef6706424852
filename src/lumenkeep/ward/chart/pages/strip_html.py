"""Write strips as HTML at once, since a ward view may hold many of them.

Template nodes cost more than the rest of the page here; a strip is the one thing
written without them. Every text is escaped in this file; numbers are our own.
"""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from lumenkeep.ward.chart.pages.standing import GROUP_TITLES

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from lumenkeep.ward.chart.pages.strip import Strip, StripDrawing, TimeAxis
    from lumenkeep.ward.site.pages.shapes import AxisBar

_BAR_HALF = 9
_OVER_HALF = 13


def axis_html(axis: TimeAxis) -> str:
    """Return the row of day names and the marks that every strip uses."""
    names = "".join(
        f'<text x="{day.x + day.width / 2:.2f}%" y="17" class="day-name'
        f'{" is-today" if day.is_today else ""}">{escape(day.label)}</text>'
        for day in axis.days
    )
    lines = "".join(
        f'<line class="day-line" x1="{day.x}%" x2="{day.x}%" y1="0" y2="100%"/>'
        for day in axis.days[1:]
    )
    now = axis.now_x
    clock = f"{axis.now.astimezone(axis.zone):%H:%M}"
    return (
        '<div class="strip-axis" aria-hidden="true"><span></span><span></span>'
        f'<svg class="strip-days" width="100%" height="40">{names}'
        f'<text x="{now}%" y="36" class="now-name">now {clock}</text></svg>'
        '<svg class="strip-marks" width="0" height="0"><defs>'
        '<pattern id="hatch" width="7" height="7" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><rect class="hatch-ground" width="7" height="7"/>'
        '<rect class="hatch-line" width="3" height="7"/></pattern>'
        f'<symbol id="days" overflow="visible">{lines}</symbol>'
        '<symbol id="now" overflow="visible">'
        f'<line class="now-line" x1="{now}%" x2="{now}%" y1="0" y2="100%"/></symbol>'
        '<symbol id="planned" overflow="visible"><circle class="mark" r="6.5"/></symbol>'
        '<symbol id="early" overflow="visible">'
        '<path class="mark-open" d="M0-8 8 0 0 8-8 0Z"/></symbol>'
        '<symbol id="inserted" overflow="visible">'
        '<path class="mark" d="M-2-13h4v26h-4Z"/></symbol></defs></svg></div>'
    )


def strips_html(
    strips: Iterable[Strip],
    href: Callable[[str], str],
    counts: Mapping[str, int],
    after: str = "",
) -> str:
    """Return strips under the headings of their groups.

    Parameters
    ----------
    href
        Address of a line's page from the line's key.
    counts
        Lines in each group over the whole ward, shown or not yet.
    after
        Group of the strip above the first of these, whose heading is not repeated.
    """
    parts: list[str] = []
    group = after
    for strip in strips:
        if strip.group != group:
            group = strip.group
            parts.append(
                f'<h2 class="strip-group g-{group}">{GROUP_TITLES[group]} '
                f'<span class="count">{counts.get(group, 0):,}</span></h2>'
            )
        parts.append(strip_html(strip, href(strip.key)))
    return "".join(parts)


def strip_html(strip: Strip, href: str) -> str:
    """Return one strip: state in words, whose line, and the drawing."""
    key = escape(strip.key)
    ward = (
        f'<span class="strip-ward">{escape(strip.ward)}</span> ' if strip.ward else ""
    )
    detail = _line("strip-concern", strip.concern)
    detail += _line("strip-detail", strip.head.detail) + _line("strip-also", strip.also)
    thing = "strip-thing" if strip.group == "other-now" else "strip-thing unseen"
    fresh = '<span class="strip-fresh">just charted</span>' if strip.is_fresh else ""
    return (
        f'<article class="strip g-{strip.group}{" is-fresh" if strip.is_fresh else ""}" '
        f'id="strip-{key}">'
        f'<a class="strip-open" id="line-{key}" href="{escape(href)}">'
        f'<span class="strip-word"><span class="{thing}">{escape(strip.head.thing)}'
        f'</span> <b class="strip-state">{escape(strip.head.state)}</b>{fresh}'
        f"{detail}</span>"
        f'<span class="strip-who">{ward}<b>Bed {escape(strip.bed)}</b> '
        f'<span class="strip-name">{escape(strip.name)}</span>'
        f'<span class="strip-line">{escape(strip.line)}</span>'
        f"{_line('strip-shared', strip.shares_bed)}</span></a>"
        f"{drawing_html(strip.drawing, strip.alt)}</article>"
    )


def _line(css: str, text: str) -> str:
    return f'<span class="{css}">{escape(text)}</span>' if text else ""


def drawing_html(drawing: StripDrawing, alt: str) -> str:
    """Return the drawing of one strip with its text alternative."""
    head = (
        f'<div class="strip-time"><svg class="strip-draw" role="img" '
        f'aria-label="{escape(alt)}" width="100%" height="100%"><use href="#days"/>'
        '<svg y="50%" width="100%" height="1" overflow="visible">'
    )
    parts = [head]
    if drawing.worn is not None:
        parts.append(_rect("worn", drawing.worn, _BAR_HALF))
    else:
        parts.append('<text class="no-bar" x="4" y="5">not known since when</text>')
    if drawing.left is not None:
        parts.append(_left(drawing.left))
    if drawing.over is not None:
        parts.append(_rect("over", drawing.over, _OVER_HALF))
    parts += [
        f'<line class="other" x1="{x}%" x2="{x}%" y1="-19" y2="19"/>'
        for x in drawing.others
    ]
    parts += [f'<use href="#{mark.look}" x="{mark.x}%"/>' for mark in drawing.marks]
    parts.append('</svg><use href="#now"/></svg></div>')
    return "".join(parts)


def _rect(css: str, bar: AxisBar, half: int) -> str:
    return (
        f'<rect class="{css}" x="{bar.x}%" width="{max(bar.width, 0.4):g}%" '
        f'y="{-half}" height="{half * 2}"/>'
    )


def _left(bar: AxisBar) -> str:
    """Return the outline of the time left, without an end where it runs on."""
    end = round(bar.x + bar.width, 2)
    sides = "".join(
        f'<line class="left" x1="{bar.x}%" x2="{end}%" y1="{y}" y2="{y}"/>'
        for y in (-_BAR_HALF, _BAR_HALF)
    )
    if bar.open_end:
        return sides
    return (
        f'{sides}<line class="left left-end" x1="{end}%" x2="{end}%" '
        f'y1="{-_BAR_HALF}" y2="{_BAR_HALF}"/>'
    )
