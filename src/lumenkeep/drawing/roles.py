"""What each part of a drawing looks like in print; the stylesheet says it for pages.

State is shown by shape, pattern and word; the colours only repeat it.
"""

from __future__ import annotations

INK, SOFT, FAINT, DEEP, ALARM, GROUND = (
    "#1b2230",
    "#525b69",
    "#d8d1c2",
    "#1b5567",
    "#9c2a1a",
    "#ffffff",
)

ROLES = {
    "ground": f'fill="{GROUND}"',
    "grid": f'stroke="{FAINT}" stroke-width="1" fill="none"',
    "axis": f'stroke="{SOFT}" stroke-width="1" fill="none"',
    "centre": f'stroke="{DEEP}" stroke-width="1.75" fill="none"',
    "limit": f'stroke="{DEEP}" stroke-width="1.5" stroke-dasharray="7 4" fill="none"',
    "outer": f'stroke="{DEEP}" stroke-width="1.25" stroke-dasharray="2 3" fill="none"',
    "divide": f'stroke="{INK}" stroke-width="2" fill="none"',
    "leader": f'stroke="{ALARM}" stroke-width="1" stroke-dasharray="2 2" fill="none"',
    "trace": f'stroke="{INK}" stroke-width="1.5" stroke-linejoin="round" fill="none"',
    "trace-2": (
        f'stroke="{INK}" stroke-width="2" stroke-dasharray="9 4" '
        'stroke-linejoin="round" fill="none"'
    ),
    "trace-3": (
        f'stroke="{INK}" stroke-width="2" stroke-dasharray="2 3" '
        'stroke-linejoin="round" fill="none"'
    ),
    "reach": f'stroke="{INK}" stroke-width="2" fill="none"',
    "point": f'fill="{INK}" stroke="{GROUND}" stroke-width="1"',
    "hollow": f'fill="{GROUND}" stroke="{INK}" stroke-width="1.75"',
    "signal": f'fill="{GROUND}" stroke="{ALARM}" stroke-width="2.5"',
    "text": f'fill="{INK}"',
    "strong": f'fill="{INK}" font-weight="700"',
    "soft": f'fill="{SOFT}"',
    "alarm": f'fill="{ALARM}" font-weight="700"',
    "deep": f'fill="{DEEP}"',
}
BOLD_ROLES = ("strong", "alarm")


def looks(role: str) -> str:
    """Return the class and print attributes of a role."""
    return f'class="dr-{role}" {ROLES[role]}'


def patterns(key: str) -> str:
    """Return the patterns of the shaded bands: slanted lines, other way, and dots."""
    slant = (
        '<pattern id="{key}-{name}" width="7" height="7" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate({turn})"><rect class="dr-weave" '
        f'width="1.4" height="7" fill="{SOFT}"/></pattern>'
    )
    dots = (
        f'<pattern id="{key}-band-3" width="7" height="7" '
        'patternUnits="userSpaceOnUse"><circle class="dr-weave" cx="2" cy="2" r="1" '
        f'fill="{SOFT}"/></pattern>'
    )
    return (
        "<defs>"
        + slant.format(key=key, name="band", turn=45)
        + slant.format(key=key, name="band-2", turn=-45)
        + dots
        + "</defs>"
    )
