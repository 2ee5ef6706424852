"""Lay the runs of a timeline beside each other: what stands, what cannot be said.

A field on which the runs differ is open. Whether an infection counts for a line is
open where any answer still possible changes it, and then the facts that would are
named, each with what its answers would make of it.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.derivation import Event, Steps, UnknownFact

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lumenkeep.core.outcomes.derivation import DerivationStep
    from lumenkeep.core.outcomes.runs import Run, Runs

    Key = tuple[str, str]

FIELDS = (
    "type", "clabsi", "is_healthcare_associated", "event_on", "window", "repeat",
    "added_to", "line_day", "location", "exclusions", "organism",
)  # fmt: skip
MOST_COMPARED = 200
MOST_SAID = 8


def agreed(runs: Runs) -> tuple[Event, ...]:
    """Return the events of the usual run, each with what the others make of it."""
    usual = runs.each[0]
    if runs.is_whole and len(runs.each) == 1:
        return tuple(_said(event) for event in usual.events)
    return tuple(_laid_beside(event, runs) for event in usual.events)


def _laid_beside(event: Event, runs: Runs) -> Event:
    """Return an event as all runs have it, with its open fields and what decides."""
    outcomes = [_outcome(event, run) for run in runs.each]
    values = {name: {_value(outcome, name) for outcome in outcomes} for name in FIELDS}
    differ = {name for name, found in values.items() if len(found) > 1}
    is_open = {name for outcome in outcomes for name in outcome.open}
    clabsi = event.clabsi if "clabsi" not in differ else None
    settling = _deciding(runs.each, [one.clabsi for one in outcomes])
    if not runs.is_whole:
        clabsi, settling = None, _every_question(runs.each)
        differ |= {"clabsi"}
    lines = [one for outcome in outcomes for one in outcome.unknown]
    unknown = [
        *(_with_ways(one, runs.each, outcomes) for one in settling),
        *lines,
    ]
    if differ - {"clabsi"}:
        signatures = [
            tuple(_value(one, name) for name in FIELDS if name != "clabsi")
            for one in outcomes
        ]
        rest = [one for one in _deciding(runs.each, signatures) if one not in settling]
        unknown += [replace(one, settles_clabsi=False) for one in rest]
    merged = replace(
        event,
        clabsi=clabsi,
        unknown=_each_once(unknown) if differ | is_open else (),
        open=frozenset(differ | is_open),
        steps=_common_steps(event, outcomes),
    )
    return _said(merged, _ways_in_steps(settling, runs.each, outcomes))


def _outcome(event: Event, run: Run) -> Event:
    """Return what a run makes of the event's blood: what counts for a line first."""
    mine = set(event.specimens)
    found = [one for one in run.events if mine & set(one.specimens)]
    if not found:  # it was no blood
        return Event(event.specimens, "none", organism=event.organism)
    return max(found, key=lambda one: (one.is_clabsi, one.clabsi is None, one.is_event))


def _value(event: Event, name: str) -> object:
    value = getattr(event, name)
    return frozenset(value) if name == "exclusions" else value


def _keys(questions: Iterable[UnknownFact]) -> set[Key]:
    return {(one.kind, one.about) for one in questions}


def _every_question(runs: Sequence[Run]) -> list[UnknownFact]:
    found = {
        (c.question.kind, c.question.about): c.question for r in runs for c in r.choices
    }
    return list(found.values())


def _deciding(runs: Sequence[Run], outcomes: Sequence[object]) -> list[UnknownFact]:
    """Return the questions whose answer alone changes what comes of it."""
    if len(set(outcomes)) == 1:
        return []
    every = _every_question(runs)
    if len(runs) > MOST_COMPARED:
        return every
    answers = [run.answers for run in runs]
    found: set[Key] = set()
    for (a, first), (b, second) in combinations(zip(answers, outcomes, strict=True), 2):
        if first != second:
            apart = {key for key in a.keys() & b.keys() if a[key] != b[key]}
            found |= apart if len(apart) == 1 else set()
    return [one for one in every if _keys([one]) <= found] or every


def _with_ways(
    question: UnknownFact, runs: Sequence[Run], outcomes: Sequence[Event]
) -> UnknownFact:
    """Return a question with what each of its answers would make of the event."""
    key = (question.kind, question.about)
    told: dict[int, dict[str, None]] = {}
    for run, outcome in zip(runs, outcomes, strict=True):
        answer = run.answers.get(key)
        if answer is not None:
            told.setdefault(answer, {})[verdict_in_words(outcome)] = None
    ways = tuple(
        f"{short}: {' or '.join(told[answer])}"
        for answer, (_, short) in enumerate(question.answers)
        if answer in told
    )
    return replace(question, ways=ways[:MOST_SAID])


def _ways_in_steps(
    settling: Sequence[UnknownFact], runs: Sequence[Run], outcomes: Sequence[Event]
) -> list[str]:
    """Return what each combination of answers would make of the event."""
    told: dict[tuple[str, ...], dict[str, None]] = {}
    for run, outcome in zip(runs, outcomes, strict=True):
        answers = run.answers
        said = tuple(
            one.answers[answers[one.kind, one.about]][0]
            for one in settling
            if (one.kind, one.about) in answers
        )
        if said:
            told.setdefault(said, {})[_in_words(outcome)] = None
    return [
        f"{' and '.join(said)}, it would be {' or '.join(words)}."
        for said, words in list(told.items())[:MOST_SAID]
    ]


def _common_steps(
    event: Event, outcomes: Sequence[Event]
) -> tuple[DerivationStep, ...]:
    """Return the steps that every run takes."""
    common = set(event.steps).intersection(*(set(one.steps) for one in outcomes))
    return tuple(step for step in event.steps if step in common)


def _each_once(unknown: Iterable[UnknownFact]) -> tuple[UnknownFact, ...]:
    """Return each fact once, those that settle whether it counts first."""
    found: dict[str, UnknownFact] = {}
    for one in unknown:
        found.setdefault(one.named, one)
    return tuple(sorted(found.values(), key=lambda one: not one.settles_clabsi))


def _said(event: Event, ways: Sequence[str] = ()) -> Event:
    """Return an event whose steps say what is not known, and what it would change."""
    if not event.unknown:
        return event
    steps = Steps(list(event.steps))
    for one in event.unknown:
        steps.missing(one.rule, f"{one.clause}.")
    for words in ways:
        steps.otherwise("R22", words)
    if not ways:
        for one in event.unknown:
            _say_ways(one, steps)
    if event.clabsi is None:
        steps.because("R22", f"It cannot be said until it is known {clauses(event)}.")
    return replace(event, steps=tuple(steps.found))


def _say_ways(unknown: UnknownFact, steps: Steps) -> None:
    words = dict(way.split(": ", 1) for way in unknown.ways if ": " in way)
    for said, short in unknown.answers:
        if short in words:
            steps.otherwise(unknown.rule, f"{said}: {words[short]}.")


def clauses(event: Event) -> str:
    """Return what is not known and decides whether it counts, as one clause."""
    told = [one.clause for one in event.unknown if one.settles_clabsi]
    return "; ".join(told)


def _in_words(event: Event) -> str:
    if event.added_to is not None:
        return f"part of the event of {event.added_to}"
    if event.clabsi is None:
        return f"{event.type}, and whether a CLABSI hangs on its line"
    return f"{event.type}, {'CLABSI' if event.clabsi else 'no CLABSI'}"


def verdict_in_words(event: Event) -> str:
    """Return what an event comes to, in a few words."""
    if event.added_to is not None:
        return "part of the earlier infection"
    if event.type == "none":
        return "no bloodstream infection by the definition"
    if event.type == "secondary":
        return "it belongs to an infection elsewhere"
    if event.clabsi is None:
        return "it cannot be said yet"
    if event.is_clabsi:
        return "a central-line infection"
    if event.is_healthcare_associated:
        return "an infection of the stay, not the line's"
    return "present on admission"
