"""Chart what a determination needs: specimens, signs, counts, and facts of the line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.errors import ChartError, Fault
from lumenkeep.model.chart import roots_of, standing
from lumenkeep.model.infection_words import SOURCES
from lumenkeep.services.infection_questions import AT, FORMS
from lumenkeep.services.line_at_hand import line_at_hand
from lumenkeep.services.ports import Draft
from lumenkeep.services.read_infection import read_infection_entry
from lumenkeep.services.typed_values import Typed, after_insertion

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import tzinfo

    from lumenkeep.model.entry import Entry
    from lumenkeep.services.ports import Chart, Clock, Policies


def chart_for_infection(
    chart: Chart,
    policies: Policies,
    clock: Clock,
    *,
    line: str,
    kind: str,
    typed: Mapping[str, str],
    by: str,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write an entry of the line's child, or of the line where the form says so.

    Parameters
    ----------
    line
        Key of one of the child's lines, in place or removed.
    kind
        A key of `FORMS`.
    typed
        By the names of the form's questions.

    Raises
    ------
    ChartError
        Every fault at once; ``chart-no-such-fact`` for an unknown kind.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    if kind not in FORMS:
        raise ChartError(
            [
                Fault(
                    "chart-no-such-fact",
                    "This is no fact that is charted here.",
                    "kind",
                    "choose one of: " + ", ".join(FORMS),
                )
            ]
        )
    found = line_at_hand(chart, policies, line)
    form = Typed(typed)
    zone = found.ward.zone
    specimens = specimens_in_words(chart.entries(line), zone)
    now = clock.now()
    typed_at, body = read_infection_entry(form, kind, zone, now, specimens)
    at = typed_at or now
    is_of_line = FORMS[kind].is_of_line
    if is_of_line:
        after_insertion(form, AT, at, found.record.state)
    form.raise_faults()
    draft = Draft(found.record.child, line if is_of_line else None, kind, at, by, body)
    return chart.append(
        [draft], found.ward.policy_set, ward=found.ward.key, submission=submission
    )


def specimens_in_words(entries: Iterable[Entry], zone: tzinfo) -> dict[str, str]:
    """Return the specimens that stand, the latest first, by the id of their first entry.

    A specimen that was corrected keeps the id of the entry that first charted it.
    """
    known = list(entries)
    roots = roots_of(known)
    found = [e for e in standing(known) if e.kind == "specimen"]
    return {str(roots[e.id]): _in_words(e, zone) for e in reversed(found)}


def _in_words(specimen: Entry, zone: tzinfo) -> str:
    body, at = specimen.body, specimen.happened_at.astimezone(zone)
    source = SOURCES.get(body["source"], body["source"])
    draw = body.get("draw") or "draw not named"
    return f"{source}, {draw}, {at:%a} {at.day} {at:%b %Y %H:%M}"
