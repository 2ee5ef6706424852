"""Chart a task other than the dressing: connectors, a set, the needle, a look."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.errors import ChartError, Fault
from lumenkeep.model.words import SET_KINDS
from lumenkeep.services.line_at_hand import line_in_place
from lumenkeep.services.ports import Draft
from lumenkeep.services.typed_values import Typed, after_insertion

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.model.entry import Entry
    from lumenkeep.services.ports import Chart, Clock, Policies

ENTRY_OF_TASK = {
    "connector": "connector-change",
    "set": "set-change",
    "port-needle": "needle-change",
    "line-review": "line-review",
    "site-check": "site-check",
}
"""Kind of entry by the policy's word for the task."""

DONE_AT, SET_NAME, SET_KIND, STILL_NEEDED, NOTE = (
    "done-at", "set", "set-kind", "still-needed", "note",
)  # fmt: skip
LONGEST_SET_NAME = 40


def chart_task(
    chart: Chart,
    policies: Policies,
    clock: Clock,
    *,
    line: str,
    task: str,
    typed: Mapping[str, str],
    by: str,
    submission: str | None = None,
) -> Sequence[Entry]:
    """Write that a task was done.

    Parameters
    ----------
    task
        A key of `ENTRY_OF_TASK`.
    typed
        ``done-at`` (empty: now) and ``note``; for a set its name ``set`` and what
        runs through it, ``set-kind``; for the review ``still-needed``, yes or no.

    Raises
    ------
    ChartError
        Every fault at once; ``chart-no-such-task`` for an unknown task.
    StoreError
        Nothing was written.
    """
    if before := chart.written(submission):
        return before
    if task not in ENTRY_OF_TASK:
        raise ChartError(
            [
                Fault(
                    "chart-no-such-task",
                    "This is no task that is charted here.",
                    "task",
                    "choose one of: " + ", ".join(ENTRY_OF_TASK),
                )
            ]
        )
    found = line_in_place(chart, policies, line)
    now = clock.now()
    form = Typed(typed)
    at = form.instant(DONE_AT, "Done at", found.ward.zone, now) or now
    after_insertion(form, DONE_AT, at, found.record.state)
    if task == "port-needle" and found.record.state.case.line.kind != "port":
        form.fault("not-a-port", "This line is no port.", "task", "open the right line")
    body = _particulars(form, task)
    form.raise_faults()
    draft = Draft(found.record.child, line, ENTRY_OF_TASK[task], at, by, body)
    return chart.append(
        [draft],
        found.ward.policy_set,
        ward=found.ward.key,
        submission=submission,
    )


def _particulars(form: Typed, task: str) -> dict[str, Any]:
    body: dict[str, Any] = {}
    note = form.text(NOTE, "Note")
    if note is not None:
        body["note"] = note
    if task == "set":
        name = form.text(SET_NAME, "Which set") or "main"
        body["set"] = name[:LONGEST_SET_NAME]
        body["kind"] = form.word(
            SET_KIND, "What runs through it", tuple(SET_KINDS), needed=True
        )
    if task == "line-review":
        word = form.word(STILL_NEEDED, "Still needed", ("yes", "no"), needed=True)
        body["needed"] = word == "yes"
    return body
