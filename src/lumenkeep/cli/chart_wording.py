"""A chart file's answers as plain text: the line first, then what presses."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

STANDS_FOR = (
    "Decision support: the hospital's own policy and the licensed person at the "
    "bedside decide."
)


def chart_in_words(answer: Mapping[str, Any]) -> Iterator[str]:
    """Yield what `chart_as_json` says, a few lines for each line of the chart."""
    lines = answer["lines"]
    yield f"{len(lines)} line{'s' * (len(lines) != 1)} at {answer['at']}"
    for line in lines:
        yield ""
        yield f"{line['line']} (child {line['child']})"
        yield from (f"  {text}" for text in _line(line))
    yield ""
    yield STANDS_FOR


def _line(line: Mapping[str, Any]) -> Iterator[str]:
    yield from line["because"]
    for concern in line["concerns"]:
        yield f"Concern {concern['concern']} since {concern['since']}: {concern['says']}"
    plan = line["plan"]
    if plan is None:
        yield "The line is out."
        return
    now = [task for task in line["due"] if task["now"]]
    for task in now:
        yield f"Due now: {task['task']}. {' '.join(task['why'])}"
    if not now:
        yield "Nothing is due now."
    yield plan["sentence"]


def kinds_in_words(kinds: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """Yield what `describe_kinds` says, a line for each field."""
    for kind in kinds:
        yield f"{kind['id']}: {kind['label']} (about: {kind['about']})"
        for field in kind["fields"]:
            yield f"  {field['key']}: {field['label']} [{', '.join(_how(field))}]"
        if kind["task"]:
            yield f"  It does the task {kind['task']['task']}."
        yield ""


def _how(field: Mapping[str, Any]) -> Iterator[str]:
    yield field["type"]
    if field["unit"]:
        yield field["unit"]
    if field["words"]:
        yield " | ".join(field["words"]) + (" or a text" if field["free"] else "")
    limits = field["limits"] or {}
    if "low" in limits:
        yield f"{limits['low']} to {limits['high']}"
    if field["required"]:
        yield "a form needs it"
    if field["sets"]:
        yield f"sets {field['sets']}"
