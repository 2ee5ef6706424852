"""A reader's fault in the words of a form: nobody who fills it in has seen the file."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from lumenkeep.ward.policies.pages.words import UNITS

if TYPE_CHECKING:
    from lumenkeep.errors import Fault

BAD_VALUE = re.compile(r"(.*) is not a value in (\S+)\.", re.DOTALL)
MISSING = re.compile(r"'(\w+)' is missing\.")
NOTHING = {
    "value": ("The value is missing.", "write it"),
    "from": ("The day is missing.", "choose from which day it holds"),
    "source": ("No source is chosen.", "choose the one it rests on"),
    "unit": ("No unit is chosen.", "choose one"),
    "because": ("The reason is missing.", "write it as one sentence"),
    "bars": ("Nothing is ticked.", "tick what these children may not have"),
    "task": ("No task is chosen.", "choose one"),
    "title": ("The title is missing.", "write it"),
    "body": ("It is not said who published it.", "write who did"),
    "means": ("It is not said what it means.", "write it in a few words"),
    "how": ("It is not said how it is known.", "choose one"),
}
MENDS = {
    "policy-unknown-word": "choose one of those offered",
    "policy-wrong-kind": "write it in the way that is asked for",
    "policy-no-such-number": "choose a number, or write one here",
    "policy-no-such-source": "choose a source from the list",
}


def plain_fault(fault: Fault) -> Fault:
    """Return the fault as a form says it; one that speaks plainly stays as it is."""
    bad = BAD_VALUE.fullmatch(fault.what)
    if fault.code == "policy-bad-number" and bad:
        unit = bad[2]
        example = "28w0d" if unit == "weeks+days" else "7"
        is_gestation = unit == "weeks+days"
        asked = "weeks and days" if is_gestation else UNITS.get(unit, unit)
        return replace(
            fault,
            what=f"{bad[1]} is not a value in {asked}.",
            mend=f"write {'it' if is_gestation else 'a number'}, as in {example}",
        )
    missing = MISSING.fullmatch(fault.what)
    if fault.code == "policy-missing" and missing:
        name = missing[1]
        what, mend = NOTHING.get(name, ("Something is missing here.", "fill it in"))
        return replace(fault, what=what, mend=mend)
    if fault.code == "policy-missing" and "no values" in fault.what:
        return replace(
            fault, what="It has no value.", mend="write one, with its day and source"
        )
    return replace(fault, mend=MENDS.get(fault.code, fault.mend))
