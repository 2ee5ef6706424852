"""What was charted of a line and its child since a guide was opened, in plain words.

Only what changes the child or the line as the plan sees them, or a sign that came or
went: that somebody looked at the site changes nothing by itself.

A guide carries a mark: up to which entry of the line and its child its plan knew the
chart, and under which policy. Whoever carries it need not read it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries import line_state
from lumenkeep.core.entries.said import label_of, parts_said
from lumenkeep.core.model import NOT_GIVEN, known_or_none, words
from lumenkeep.core.model.allergy import sensitivities_of
from lumenkeep.core.planning import plan_change
from lumenkeep.core.reading.line_reading import Hold
from lumenkeep.errors import LumenkeepError
from lumenkeep.ward.chart.line_at_hand import do_not_use_by, line_at_hand

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import tzinfo

    from lumenkeep.core.model import Case
    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.guide.records import RunRecord

_SAID: Mapping[str, str] = {
    "birth": "The birth or the gestation was charted anew",
    "weight": "A weight was charted",
    "skin": "The skin at the site was charted",
    "stay": "The child's bed or ward was charted anew",
    "line-inserted": "The insertion of the line was charted anew",
    "dressing-change": "A dressing change was charted",
    "re-cover": "An emergency cover was charted",
    "finding": "A finding on the dressing was charted",
    "connector-change": "A change of the connectors was charted",
    "set-change": "A change of a set was charted",
    "needle-change": "A change of the port needle was charted",
    "line-removed": "The line was charted as taken out",
    "withdrawn": "An entry was taken back",
}


DIGEST_LETTERS = 16


def mark_of(found: LineAtHand) -> str:
    """Return the mark of a line as it is now."""
    return f"{found.record.last_entry}.{found.policy.digest[:DIGEST_LETTERS]}"


def read_mark(mark: str) -> tuple[int, str]:
    """Return the id of the newest entry that was known, and the policy's digest.

    A mark that is none knows of nothing: then everything is new.
    """
    known, _, digest = mark.partition(".")
    return (int(known), digest) if known.isdecimal() else (0, "")


def said_of(entry: Entry, before: Case, zone: tzinfo) -> str:
    """Return what an entry says that is new, with the ward's time of writing.

    Parameters
    ----------
    before
        The child and the line without it.
    """
    clock = f"{entry.written_at.astimezone(zone):%H:%M}"
    if entry.kind == "sensitivities":
        return f"{_sensitivities(entry, before)} at {clock}."
    said = _SAID.get(entry.kind) or _by_registry(entry)
    if entry.kind == "skin":
        state = words.SKIN.get(str(entry.body.get("state")), "unknown")
        said = f"{said} as {state.lower()}"
    if entry.kind == "finding":
        found = entry.body.get("findings", ())
        names = ", ".join(words.FINDINGS.get(word, word).lower() for word in found)
        said = f"A finding on the dressing ({names}) was charted" if names else said
    if entry.corrects is not None and entry.kind != "withdrawn":
        said = f"{said}, as a correction,"
    return f"{said} at {clock}."


def _by_registry(entry: Entry) -> str:
    """Return an entry's kind and what it says, in the registry's words."""
    said = ", ".join(parts_said(entry))
    label = label_of(entry.kind)
    return f"“{label}: {said}” was charted" if said else f"“{label}” was charted"


def _sensitivities(entry: Entry, before: Case) -> str:
    known = known_or_none(before.child.sensitivities) or frozenset()
    now = known_or_none(sensitivities_of(entry.body)[0]) or frozenset()
    order = (*words.SENSITIVITIES, *sorted(now - words.SENSITIVITIES.keys()))
    more = [word for word in order if word in now and word not in known]
    if not more:
        return "What the child does not tolerate was charted anew"
    names = " and ".join(words.SENSITIVITIES.get(w, w).lower() for w in more)
    return f"A sensitivity to {names} was charted"


@dataclass(frozen=True, slots=True)
class NewFact:
    """Something charted meanwhile: what, when (UTC), and whether the plan differs."""

    what: str
    at: datetime
    plan_differs: bool


@dataclass(frozen=True, slots=True)
class FactsSince:
    """The mark of the chart as it is now, and what is new since another mark.

    ``do_not_use`` is why the line is not to be used now.
    """

    mark: str
    changed: tuple[NewFact, ...]
    do_not_use: tuple[Hold, ...] = ()


def facts_since(at: WardContext, run: RunRecord, mark: str) -> FactsSince:
    """Return what is new on the chart since a mark.

    Parameters
    ----------
    run
        What its own entries say is not new.
    mark
        Of the bundle, or the last one acknowledged.

    Raises
    ------
    ChartError
        ``chart-no-such-line``: the line is on the chart no more.
    """
    found = line_at_hand(at, run.line)
    known, digest = read_mark(mark)
    own = {entry.id for entry in at.chart.written(run.key)}
    entries = sorted(
        (e for e in at.chart.entries(run.line) if e.id not in own), key=lambda e: e.id
    )
    now = at.clock.now()
    changed = list(_new_facts(entries, known, found, now))
    if not found.policy.digest.startswith(digest or " "):
        changed.append(
            NewFact(
                "The ward's policy was changed.", now, _plan(found, now) != _of(run)
            )
        )
    held = do_not_use_by(at.policies, found, entries, now)
    before = [entry for entry in entries if entry.id <= known]
    earlier = do_not_use_by(at.policies, found, before, now)
    changed += [
        NewFact(one.sentence, now, plan_differs=False)
        for one in held
        if one not in earlier
    ]
    return FactsSince(mark_of(found), tuple(changed), held)


def _of(run: RunRecord) -> tuple[Any, ...]:
    plan = run.head["plan"]
    return plan["sentence"], plan["antiseptic"], plan["dressing"]


def _plan(found: LineAtHand, now: datetime) -> tuple[Any, ...]:
    plan = plan_change(found.record.state.case, now, found.policy)
    return (
        plan.sentence,
        plan.antiseptic.label if plan.antiseptic else None,
        plan.dressing.label if plan.dressing else None,
    )


def _new_facts(
    entries: Sequence[Entry], known: int, found: LineAtHand, now: datetime
) -> list[NewFact]:
    zone = found.ward.zone
    facts = []
    before = [entry for entry in entries if entry.id <= known]
    state = line_state(before, now, zone)
    for entry in entries[len(before) :]:
        before.append(entry)
        after = line_state(before, now, zone)
        is_out = after.removed_at != state.removed_at
        has_signs = after.signs != state.signs
        if is_out or has_signs or _seen(after.case) != _seen(state.case):
            differs = is_out or _answer(after.case, found, now) != _answer(
                state.case, found, now
            )
            what = said_of(entry, state.case, zone)
            facts.append(NewFact(what, entry.written_at, differs))
        state = after
    return facts


def _seen(case: Case) -> Case:
    """Return the case without when somebody last looked or asked."""
    line = replace(case.line, inspected=NOT_GIVEN, reviewed=NOT_GIVEN)
    return replace(case, line=line)


def _answer(case: Case, found: LineAtHand, now: datetime) -> tuple[Any, ...]:
    try:
        plan = plan_change(case, now, found.policy)
    except LumenkeepError as error:
        return (str(error),)
    return plan.verdict, plan.antiseptic, plan.dressing, plan.cautions
