"""What somebody sees at a line on a round goes on its chart, as from any other form."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lumenkeep.core.entries import every_kind
from lumenkeep.ward.chart.charting.asked import Asked, asked_of
from lumenkeep.ward.chart.charting.typed_entry import Sheet, read_sheet
from lumenkeep.ward.chart.records import Draft

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lumenkeep.ward.chart.charting.bedside import Bedside
    from lumenkeep.ward.rounds.questions import Question
    from lumenkeep.ward.site.typed_values import Typed

KINDS = {"finding": ("findings",), "site-check": ("signs",)}
"""Kinds of entry that a round may chart, and the keys of each that it asks for."""
NOTED = "Seen on a line round."


def seen_questions(at_bed: Bedside) -> tuple[Asked, ...]:
    """Return what a round may say of the dressing and the site; all may be left out."""
    return tuple(
        replace(one, required=False)
        for kind, keys in KINDS.items()
        for one in asked_of(every_kind()[kind], at_bed)
        if one.field is not None and one.field.key in keys
    )


def seen_drafts(
    form: Typed,
    ticked: Mapping[str, Sequence[str]],
    at_bed: Bedside,
    by: str,
    failed: Iterable[Question],
) -> list[Draft]:
    """Return the entries of what was ticked, noting in ``form`` what is missing.

    Parameters
    ----------
    failed
        Items that were not as they should be. One that finds something asks what.
    """
    questions = seen_questions(at_bed)
    record = at_bed.line.record
    drafts = []
    for kind_id, keys in KINDS.items():
        kind = every_kind()[kind_id]
        asked = [one for one in questions if one.field and one.field.key in keys]
        if not any(ticked.get(one.name) for one in asked):
            continue
        sheet = Sheet(form, ticked, at_bed.zone, at_bed.now)
        body = read_sheet(replace(kind, check=None), asked, sheet).body
        drafts.append(
            Draft(
                record.child, record.key, kind_id, at_bed.now, by,
                {**body, "note": NOTED},
            )
        )  # fmt: skip
    if any(one.finds for one in failed) and not drafts:
        form.fault(
            "missing",
            "What was found is not said.",
            questions[0].name,
            "choose what the dressing or the site is like",
        )
    return drafts
