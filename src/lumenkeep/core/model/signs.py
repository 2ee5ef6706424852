"""The closed lists of what may be seen at a site, on the skin, on the line, on the child.

`REPORTED` can be charted by a person; `DERIVED` follow from charted numbers.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection

SITE_SIGNS = {
    "red": "Red",
    "hot": "Hot to the touch",
    "swollen": "Swollen",
    "painful": "Painful",
    "discharge": "Pus or other discharge",
    "bleeding": "Bleeding or oozing",
    "bleeding-on": "Bleeding that pressure does not stop",
    "hard-vein": "Hard or streaked along the vein",
}
SKIN_SIGNS = {
    "skin-broken": "Skin broken, raw or weeping",
    "blister": "Blister",
    "skin-torn": "Skin torn or stripped where something sticks",
    "rash": "Rash or itching where something sticks",
    "sodden": "Skin white and sodden under the dressing",
}
LINE_SIGNS = {
    "line-out": "Line has come out",
    "line-broken": "Line cut, cracked or leaking",
    "securement-off": "Securement has come off",
    "port-trouble": "Port swollen, burning, or not to be felt",
    "line-blocked": "A lumen is blocked: no fluid goes in",
    "no-blood-return": "No blood comes back from a lumen",
}
SIGNS_OF_KINDS = {"port-trouble": ("port",)}
"""Signs that only lines of some kinds can show."""
CHILD_SIGNS = {
    "limb-swollen": "Arm, leg, neck or chest swollen",
    "fever": "Fever without another reason",
}
ADHESIVE_SIGNS = ("blister", "skin-torn", "rash", "sodden")
"""Injury by what sticks to the skin."""
REPORTED = {**SITE_SIGNS, **SKIN_SIGNS, **LINE_SIGNS, **CHILD_SIGNS}
DERIVED = {
    "length-moved": "Length outside the skin has changed",
    "length-doubtful": "Length outside the skin may have changed: measure again",
    "stitch-lost": "Stitch lost",
    "grade": "Grade on a scale",
    "girth": "Arm has become thicker",
    "worse": "Site is getting worse",
    "not-whole": "Line came out, but not whole",
    "whole-not-seen": "Line is out, and nobody looked whether it is whole",
    "by-hand": "Raised by hand",
}
SIGNS = {**REPORTED, **DERIVED}
SIGN_OF_SITE_WORD = {
    "red": "red",
    "swollen": "swollen",
    "painful": "painful",
    "discharge": "discharge",
    "bleeding": "bleeding",
    "skin broken": "skin-broken",
}
"""What the one word charted for the site at a change means as a sign."""
HEALTHY = "healthy"
WELL = {
    "skin-whole": "Skin whole",
    "dry": "Dry: nothing bleeds, oozes or discharges",
}
"""Words that end signs; only such a word does, or a healthy site."""
FINDING_OF_SIGN = {
    "bleeding": "bleeding",
    "bleeding-on": "bleeding",
    "discharge": "discharge",
    "sodden": "sodden",
}
"""What a sign at the site is called among the findings of a dressing."""
BROKEN_SKIN = ("skin-broken", "blister", "skin-torn")
"""Signs with which the skin at the site is not whole."""
ENDS = {
    "skin-whole": BROKEN_SKIN,
    "dry": ("bleeding", "bleeding-on", "discharge", "sodden"),
    HEALTHY: (*SITE_SIGNS, *SKIN_SIGNS),
}
"""Signs that each word says are there no more."""


def skin_said(there: Collection[str], gone: Collection[str]) -> str | None:
    """Return what signs say of the skin: "broken", "intact", or None for nothing.

    Parameters
    ----------
    there, gone
        Signs that an entry says are there, and that it says are there no more.
    """
    if not set(BROKEN_SKIN).isdisjoint(there):
        return "broken"
    return "intact" if set(BROKEN_SKIN).issubset(gone) else None
