"""The page of one line: its state, what is due, what is known, what was charted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.safestring import mark_safe
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from lumenkeep.core.entries.said import label_of
from lumenkeep.core.planning import plan_change
from lumenkeep.errors import SingleError
from lumenkeep.text.moments import moment_in_words
from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.line_at_hand import agents_used
from lumenkeep.ward.chart.lines_now import LineStory, line_story
from lumenkeep.ward.chart.pages.beside_form import LENGTH
from lumenkeep.ward.chart.pages.context import Asker, page_context, show
from lumenkeep.ward.chart.pages.entry_words import history, told_at
from lumenkeep.ward.chart.pages.facts import (
    CHARTED_BY_FORM,
    FactRow,
    child_facts,
    line_facts,
)
from lumenkeep.ward.chart.pages.kind_form import TASK_FORMS
from lumenkeep.ward.chart.pages.line_head import find_line, line_head
from lumenkeep.ward.chart.pages.standing import (
    DRESSING,
    TaskWords,
    standing_of,
    task_in_words,
)
from lumenkeep.ward.chart.pages.strip import axis_around, draw_line, drawing_in_words
from lumenkeep.ward.chart.pages.strip_html import axis_html, drawing_html
from lumenkeep.ward.concerns.lengths import watch_line
from lumenkeep.ward.concerns.pages.concern import concern_card
from lumenkeep.ward.concerns.pages.lengths import length_drawing
from lumenkeep.ward.guide.pages.on_line import guides_of
from lumenkeep.ward.site.pages.no_answer import or_say_why
from lumenkeep.ward.site.rights import may_correct

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import datetime, tzinfo
    from typing import Any

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.core.due import DueTask
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.concerns.lengths import WatchedLine
    from lumenkeep.ward.site.people import StaffRecord

ENTRIES_AT_ONCE = 16
NO_DRESSING_TIME = TaskWords("Dressing", "No time set", "")


@dataclass(frozen=True, slots=True)
class TaskRow:
    """A task in words, and where it is charted."""

    words: TaskWords
    is_now: bool
    since: str
    href: str


@dataclass(frozen=True, slots=True)
class ShownFact:
    """A fact in words, and where it is charted; empty where it is not."""

    label: str
    value: str
    note: str
    is_unknown: bool
    href: str


@dataclass(frozen=True, slots=True)
class Charted:
    """What was just charted, and what comes next.

    ``length`` is what a length among it asks for; ``again_href`` leads to the form of a
    second measurement where it asks for one.
    """

    what: str
    next: str
    length: str = ""
    again_href: str = ""


@require_safe
@never_cache
@or_say_why
def line(request: HttpRequest, key: str) -> HttpResponse:
    """Show one line."""
    at, person = page_context(), person_signed_in(request)
    found = find_line(at, key, person)
    now = at.clock.now()
    story = line_story(at, now, key)
    names = {one.key: one.name for one in at.staff.people(None)}
    watched = watch_line(story.line, story.entries, at.policies, now)
    context = {
        "line": line_head(at, found, now),
        "holds": tuple(hold.sentence for hold in watched.holds),
        **_state(story, now),
        **_known(story, now),
        **_watched(watched, story, now, names),
        **_history(request, at, story, now, person),
        **guides_of(found, story.entries, names, now),
        "charted": _charted(request, story, watched, now),
    }
    return show(
        request,
        "lumenkeep/line.html",
        context,
        Asker.of(person, at.chart.wards()),
        here=found.ward.key,
    )


def _state(story: LineStory, now: datetime) -> dict[str, Any]:
    record, zone = story.line.record, story.line.ward.zone
    standing = standing_of(story.tasks, now, zone)
    head = (
        task_in_words(standing.head, now, zone) if standing.head else NO_DRESSING_TIME
    )
    axis = axis_around(now, zone)
    alt = drawing_in_words(record.state, standing, axis)
    drawing = drawing_html(draw_line(record.state, story.tasks, axis), alt)
    removed = record.state.removed_at
    removed_words = (
        f"Taken out {moment_in_words(removed, now, zone)}." if removed else ""
    )
    if record.state.is_taken_back:
        removed_words = "Its insertion was charted by mistake and taken back."
    return {
        "group": standing.group,
        "needs_hands": standing.needs_hands and removed is None,
        "head": head,
        "head_state": head.state[:1].lower() + head.state[1:],
        "plan_sentence": _plan_sentence(story, now) if removed is None else "",
        "removed_words": removed_words,
        # Written and escaped in shapes/strip_html.py.
        "axis_html": mark_safe(axis_html(axis)),  # noqa: S308
        "drawing_html": mark_safe(drawing),  # noqa: S308
        "alt": alt,
        "tasks": [_task_row(task, record.key, now, zone) for task in story.tasks],
    }


def _plan_sentence(story: LineStory, now: datetime) -> str:
    found = story.line
    try:
        return plan_change(found.record.state.case, now, found.policy).sentence
    except SingleError as error:
        return f"{error.fault.what} Please {error.fault.mend}."


def _task_row(task: DueTask, key: str, now: datetime, zone: tzinfo) -> TaskRow:
    href = ""
    if task.task == DRESSING:
        href = reverse("chart-change", args=[key])
    elif task.task in TASK_FORMS:
        href = reverse("chart-task", args=[key, task.task])
        if task.kind:
            href += f"?{urlencode({'runs': task.kind})}"
    since = moment_in_words(task.since, now, zone) if task.since else ""
    return TaskRow(task_in_words(task, now, zone), task.is_now, since, href)


def _known(story: LineStory, now: datetime) -> dict[str, Any]:
    record, zone = story.line.record, story.line.ward.zone
    case = record.state.case
    corrected = story.corrected_by
    counting = [e for e in story.entries if e.id not in corrected]
    return {
        "child_facts": _shown(child_facts(case, counting, now, zone), record.key),
        "line_facts": _shown(line_facts(case, counting, now, zone), record.key),
    }


def _watched(
    watched: WatchedLine, story: LineStory, now: datetime, names: Mapping[str, str]
) -> dict[str, Any]:
    line, zone = story.line, story.line.ward.zone
    cards = [
        concern_card(one, line.record.key, now, zone, names) for one in watched.concerns
    ]
    return {
        "concerns": [card for card in cards if card.is_open],
        "closed_concerns": [card for card in cards if not card.is_open],
        "drawing": length_drawing(story.lengths, watched, zone),
    }


def _shown(rows: Iterable[FactRow], key: str) -> list[ShownFact]:
    return [
        ShownFact(
            row.label,
            row.value,
            row.note,
            row.is_unknown,
            reverse("chart-fact", args=[key, row.charts_as])
            if row.charts_as in CHARTED_BY_FORM
            else "",
        )
        for row in rows
    ]


def _history(
    request: HttpRequest,
    at: WardContext,
    story: LineStory,
    now: datetime,
    person: StaffRecord,
) -> dict[str, Any]:
    zone = story.line.ward.zone
    shows_all = request.GET.get("entries") == "all"
    names = {one.key: one.name for one in at.staff.people(None)}
    labels = agents_used(story.line.policy)
    days = history(
        story.entries,
        now,
        zone,
        names,
        labels,
        may_correct=lambda entry: may_correct(person, entry),
        most=None if shows_all else ENTRIES_AT_ONCE,
    )
    is_cut = not shows_all and len(story.entries) > ENTRIES_AT_ONCE
    return {
        "days": days,
        "older_href": "?entries=all#history" if is_cut else "",
        "entry_count": len(story.entries),
    }


def _charted(
    request: HttpRequest, story: LineStory, watched: WatchedLine, now: datetime
) -> Charted | None:
    """Return what was just charted, if the page was reached by charting it."""
    zone = story.line.ward.zone
    asked = request.GET.get("charted", "")
    entry = next((e for e in story.entries if str(e.id) == asked), None)
    if entry is None:
        return None
    what = f"On the chart: {label_of(entry.kind).lower()}, "
    what += f"{moment_in_words(told_at(entry), now, zone)}."
    length = watched.told_at_once if entry.body.get(LENGTH) is not None else ""
    asks_again = length and watched.verdict.state == "measure-again"
    again = reverse("look", args=[story.line.record.key]) if asks_again else ""
    return Charted(what, _comes_next(story, now), length, again)


def _comes_next(story: LineStory, now: datetime) -> str:
    dressing = next((task for task in story.tasks if task.task == DRESSING), None)
    if dressing is None:
        return ""
    if dressing.is_now:
        return "The dressing is to be changed now."
    if dressing.due_at is None:
        return "The next dressing change: when this one fails."
    due = moment_in_words(dressing.due_at, now, story.line.ward.zone)
    return f"The next dressing change is due {due}."
