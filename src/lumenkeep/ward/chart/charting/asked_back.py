"""Hold a length and a mass against the chart where they are typed, before anything is written.

What cannot be is refused; what is unlikely is asked back once, at its field. A form that
asked holds the value it asked about: sent again with that value it is taken, and another
unlikely value is another question. The judgement and its words are the watch's own, as in
the guide.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from math import inf
from typing import TYPE_CHECKING

from lumenkeep.core.entries.answers import Measure
from lumenkeep.core.model import Birth, Weight, known_or_none, mass_at
from lumenkeep.core.policy import Policy
from lumenkeep.core.watch.length_rules import moved_asks
from lumenkeep.core.watch.length_typed import IMPOSSIBLE, UNLIKELY, judge_typed_length
from lumenkeep.core.watch.length_values import LengthRules, Measured
from lumenkeep.core.watch.mass_typed import judge_typed_mass

if TYPE_CHECKING:
    from collections.abc import Mapping
    from typing import Any

    from lumenkeep.ward.chart.charting.bedside import FormContext
    from lumenkeep.ward.chart.charting.form_fields import FormField
    from lumenkeep.ward.site.typed_values import Typed

LENGTH, ARM = "external_length_mm", "arm"
MASS, WEEK = "mass-g", "mass-after-a-week-percent"
SURE = "-sure"
"""Ends the name of what a form sends beside a field: the value that was asked about."""
ASKED_BACK = "chart-unlikely"
TYPE_ANEW = "type it anew"
SEND_AGAIN = "chart it again as it stands if it is so, or put it right"


@dataclass(frozen=True, slots=True)
class Known:
    """What a typed length or mass is held against.

    Attributes
    ----------
    policy
        Whose bounds of the world hold.
    at
        When it was measured (UTC).
    zone
        The ward's zone.
    born
        None where the birth is not on record.
    weighed
        The weighing before it, else the first after it; None where there is none.
    lengths
        Those it is compared with: before it, else the first after it.
    rules
        How lengths are compared.
    moved_do
        What the policy asks where a line has moved.
    is_first
        Whether it comes before those lengths.
    """

    policy: Policy
    at: datetime
    zone: tzinfo
    born: Birth | None = None
    weighed: Weight | None = None
    lengths: Sequence[Measured] = ()
    rules: LengthRules = field(default_factory=lambda: LengthRules(()))
    moved_do: str = ""
    is_first: bool = False


def known_at(bedside: FormContext, at: datetime) -> Known:
    """Return what the chart knows of a length or a mass of ``at`` (UTC).

    The entry that is being corrected is not among it.
    """
    reading = bedside.reading
    child = reading.state.case.child
    later = sorted(child.weights, key=lambda one: one.at)
    weighed = known_or_none(mass_at(child, at)) or next(iter(later), None)
    lengths = sorted(reading.compared, key=lambda one: (one.at, one.entry))
    before = [one for one in lengths if one.at <= at]
    return Known(
        bedside.line.policy,
        at,
        bedside.zone,
        known_or_none(child.born),
        weighed,
        before or lengths[:1],
        reading.length_rules,
        moved_asks(bedside.book),
        is_first=not before,
    )


def hold_measured(
    asked: Sequence[FormField], body: Mapping[str, Any], form: Typed, known: Known
) -> None:
    """Note every length and mass of a form that cannot be, or is unlikely.

    Parameters
    ----------
    asked
        What the form asks.
    body
        What it says; for how the arm lay.
    form
        What was typed. Nothing is asked of a field with another fault.
    """
    for one in asked:
        answer = one.field.answer if one.field is not None else None
        if one.field is None or not isinstance(answer, Measure):
            continue
        typed = form.said(one.name, answer.unit)
        is_left_out = one.field.key not in body and not _cannot_be(form, one.name)
        if typed is None or is_left_out:
            continue
        if one.field.key == LENGTH:
            arm = body.get(ARM)
            state, says = _length(typed, str(arm) if arm else None, one, known)
        elif answer.bound == MASS and {MASS, WEEK} <= known.policy.bounds.keys():
            state, says = _mass(typed * answer.scale, known)
        else:
            continue
        is_sure = form.said(one.name + SURE, answer.unit) == typed
        _note(form, one.name, state, says, is_sure=is_sure)


def _cannot_be(form: Typed, name: str) -> bool:
    """Return whether the only thing wrong with a field is that its value cannot be."""
    faults = [fault.code for fault in form.faults if fault.where == name]
    return faults == ["chart-out-of-range"]


def _note(form: Typed, name: str, state: str, says: str, *, is_sure: bool) -> None:
    if state == IMPOSSIBLE:
        form.faults = [fault for fault in form.faults if fault.where != name]
        form.fault("out-of-range", says, name, TYPE_ANEW)
    elif state == UNLIKELY and not is_sure:
        form.fault("unlikely", says, name, SEND_AGAIN)


def _length(
    mm: float, arm: str | None, one: FormField, known: Known
) -> tuple[str, str]:
    told = judge_typed_length(
        known.lengths,
        mm,
        arm,
        known.rules,
        (one.low or 0, inf if one.high is None else one.high),
        moved_do=known.moved_do,
        is_before=known.is_first,
    )
    return told.state, told.says


def _mass(grams: float, known: Known) -> tuple[str, str]:
    bounds = known.policy.bounds
    told = judge_typed_mass(
        grams,
        known.at,
        known.weighed,
        bounds[MASS].of_child(known.born, known.at),
        bounds[WEEK].span,
        known.zone,
    )
    return told.state, told.says
