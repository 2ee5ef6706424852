"""Charting by hand as a test says it: one function for each form of a person's day."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tests.fakes.at_ward import at_ward, sent

from lumenkeep.core.entries import every_kind
from lumenkeep.ward.chart.charting import chart_entry as charting
from lumenkeep.ward.chart.charting import correct

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from lumenkeep.core.model.entry import Entry

KIND_OF_TASK = {
    "connector": "connector-change",
    "set": "set-change",
    "port-needle": "needle-change",
    "line-review": "line-review",
    "site-check": "site-check",
}


def chart_entry(
    chart, policies, clock, *, line: str, kind: str, **told: Any
) -> Sequence[Entry]:
    """Chart a form of any kind; ``told`` is what was `sent`."""
    at = at_ward(chart, clock, policies)
    return charting.chart_entry(at, sent(**told), line=line, kind=kind)


def chart_change(chart, policies, clock, **more: Any) -> Sequence[Entry]:
    """Chart a dressing change."""
    return chart_entry(chart, policies, clock, kind="dressing-change", **more)


def chart_finding(
    chart, policies, clock, *, findings: Collection[str], **more: Any
) -> Sequence[Entry]:
    """Chart a finding."""
    ticked = {"findings": list(findings)}
    return chart_entry(chart, policies, clock, kind="finding", ticked=ticked, **more)


def chart_task(chart, policies, clock, *, task: str, **more: Any) -> Sequence[Entry]:
    """Chart that a task was done."""
    return chart_entry(chart, policies, clock, kind=KIND_OF_TASK[task], **more)


def chart_fact(
    chart, policies, clock, *, fact: str, chosen: Collection[str] = (), **more: Any
) -> Sequence[Entry]:
    """Chart a fact of the child."""
    ticked = {"sensitivities": list(chosen)}
    return chart_entry(chart, policies, clock, kind=fact, ticked=ticked, **more)


def ticked_signs(signs: Collection[str]) -> Mapping[str, list[str]]:
    """Return signs ticked in the groups in which the form of a look shows them."""
    field = every_kind()["site-check"].field("signs")
    assert field is not None
    answer: Any = field.answer
    found: dict[str, list[str]] = {}
    for sign in signs:
        names = [name for name, _, words in answer.groups if sign in words]
        found.setdefault(names[0] if names else answer.groups[0][0], []).append(sign)
    return found


def chart_look(
    chart, policies, clock, *, signs: Collection[str], **more: Any
) -> Sequence[Entry]:
    """Chart a look at the site."""
    ticked = ticked_signs(signs)
    return chart_entry(chart, policies, clock, kind="site-check", ticked=ticked, **more)


def correct_entry(
    chart,
    policies,
    clock,
    *,
    line: str,
    entry: int,
    chosen: Collection[str] = (),
    **told,
) -> Sequence[Entry]:
    """Correct an entry; ``chosen`` are the findings or sensitivities ticked anew."""
    told.setdefault("ticked", {"findings": list(chosen), "sensitivities": list(chosen)})
    at = at_ward(chart, clock, policies)
    return correct.correct_entry(at, sent(**told), line=line, entry=entry)


def withdraw_entry(
    chart, policies, clock, *, line: str, entry: int, **told: Any
) -> Sequence[Entry]:
    """Take an entry back."""
    at = at_ward(chart, clock, policies)
    return correct.withdraw_entry(at, sent(**told), line=line, entry=entry)
