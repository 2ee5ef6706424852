"""Chart a close look at the site: every sign, grades, length, stitches, girth of the arm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lumenkeep.model import known_or_none
from lumenkeep.model.signs import HEALTHY, REPORTED
from lumenkeep.planning import plan_change
from lumenkeep.planning.plan import ChartItem
from lumenkeep.policy import Situation
from lumenkeep.policy.watch_rules import Scale
from lumenkeep.services.line_at_hand import LineAtHand, line_in_place
from lumenkeep.services.ports import Draft
from lumenkeep.services.typed_values import Typed, after_insertion

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import datetime

    from lumenkeep.model.entry import Entry
    from lumenkeep.services.ports import Chart, Clock, Policies

LOOKED_AT, SIGNS_FIELD, GIRTH, NOTE = "looked-at", "signs-site", "arm-girth", "note"
GRADE = "grade-"
LENGTH, STITCHES, ARM = "chart-external-length", "chart-stitches", "chart-arm"
MEASURED = (LENGTH, STITCHES, ARM)
GIRTH_LIMITS = ("arm-girth-least", "arm-girth-most")
"""The policy's numbers, where it has them."""


@dataclass(frozen=True, slots=True)
class LookForm:
    """What is asked at a look.

    Attributes
    ----------
    scales
        Those whose conditions hold, or may hold.
    items
        What the policy wants measured at a change, of which each may be left out here.
    girth
        Least and greatest girth believed (mm); None where no arm is watched.
    """

    line: LineAtHand
    scales: tuple[Scale, ...]
    items: tuple[ChartItem, ...]
    girth: tuple[float, float] | None


def look_form(chart: Chart, policies: Policies, clock: Clock, line: str) -> LookForm:
    """Return what to ask at a look at this line's site.

    Raises
    ------
    ChartError
        There is no such line, or it is out.
    """
    found = line_in_place(chart, policies, line)
    now = clock.now()
    case = found.record.state.case
    book = found.policy.on(now.astimezone(found.ward.zone).date())
    situation = Situation(case, now)
    scales = tuple(
        live.rule for live in book.scales if live.when.truth(situation) is not False
    )
    items = tuple(
        i for i in plan_change(case, now, found.policy).chart if i.id in MEASURED
    )
    girth = None
    in_arm = known_or_none(case.line.site) == "upper-arm"
    if in_arm and all(name in found.policy.numbers for name in GIRTH_LIMITS):
        low, high = (book.value(name) for name in GIRTH_LIMITS)
        assert isinstance(low, int | float)  # noqa: S101  lengths, checked on reading
        assert isinstance(high, int | float)  # noqa: S101
        girth = (float(low), float(high))
    return LookForm(found, scales, items, girth)


def chart_look(
    chart: Chart,
    policies: Policies,
    clock: Clock,
    *,
    line: str,
    signs: Collection[str],
    typed: Mapping[str, str],
    by: str,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write what was seen.

    Parameters
    ----------
    signs
        From `signs.REPORTED`, or "healthy" alone: that nothing of them was there.
    typed
        ``looked-at`` (empty: now), ``grade-<scale>``, the policy's own fields for
        length, stitches and arm, ``arm-girth`` (mm), ``note``; all may be left out.

    Raises
    ------
    ChartError
        Every fault at once; ``chart-contradiction`` for a healthy site with signs.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    asked = look_form(chart, policies, clock, line)
    found, now = asked.line, clock.now()
    form = Typed(typed)
    at = form.instant(LOOKED_AT, "Looked at", found.ward.zone, now) or now
    after_insertion(form, LOOKED_AT, at, found.record.state)
    body: dict[str, Any] = {"signs": _signs(form, signs)}
    body |= _measured(form, asked)
    note = form.text(NOTE, "Note")
    if note is not None:
        body["note"] = note
    form.raise_faults()
    return chart.append(
        [_draft(found, at, by, body)],
        found.ward.policy_set,
        ward=found.ward.key,
        submission=submission,
    )


def _draft(found: LineAtHand, at: datetime, by: str, body: dict[str, Any]) -> Draft:
    return Draft(found.record.child, found.record.key, "site-check", at, by, body)


def _signs(form: Typed, signs: Collection[str]) -> list[str]:
    if not signs:
        form.fault(
            "missing",
            "Nothing is chosen.",
            SIGNS_FIELD,
            "choose what was seen, or that the site is healthy",
        )
    seen = form.words(SIGNS_FIELD, "Seen", signs, (HEALTHY, *REPORTED))
    if HEALTHY in seen and len(seen) > 1:
        form.fault(
            "contradiction",
            "A healthy site has none of the other signs.",
            SIGNS_FIELD,
            "take one of them back",
        )
    return [sign for sign in seen if sign != HEALTHY]


def _measured(form: Typed, asked: LookForm) -> dict[str, Any]:
    body: dict[str, Any] = {}
    grades = {
        scale.id: grade
        for scale in asked.scales
        if (
            grade := form.count(
                f"{GRADE}{scale.id}", scale.label, scale.lowest, scale.highest
            )
        )
        is not None
    }
    if grades:
        body["grades"] = grades
    for item in asked.items:
        value: object
        if item.id == LENGTH:
            value = form.number(item.id, item.label, "mm", item.low, item.high)
            key = "external_length_mm"
        elif item.id == STITCHES:
            value, key = (
                form.count(item.id, item.label, item.low, item.high),
                "stitches",
            )
        else:
            value, key = form.word(item.id, item.label, item.choices), "arm"
        if value is not None:
            body[key] = value
    if asked.girth is not None:
        low, high = asked.girth
        girth = form.number(GIRTH, "Around the arm", "mm", low, high)
        if girth is not None:
            body["arm_girth_mm"] = girth
    return body
