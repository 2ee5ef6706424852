"""One new entry as a sentence, for people in the middle of a procedure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.entries.said import label_of, parts_said
from lumenkeep.core.model import known_or_none, words
from lumenkeep.core.model.allergy import sensitivities_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import tzinfo

    from lumenkeep.core.model import Case
    from lumenkeep.core.model.entry import Entry

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
