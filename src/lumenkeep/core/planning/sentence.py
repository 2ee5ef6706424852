"""The answer in the words of a colleague."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model.dressing_kinds import DRESSING_KINDS
from lumenkeep.core.model.words import DRESSINGS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.planning.plan import Technique
    from lumenkeep.core.planning.prepared import Prepared
    from lumenkeep.core.policy import Truth
    from lumenkeep.core.policy.conditions import LiveWhen

NUMBERS = ("No", "One", "Two", "Three", "Four", "Five", "Six")


def sentence_for_plan(
    technique: Technique, dressing: str | None, staff: int, barred: tuple[str, ...]
) -> str:
    """Return the whole plan in one breath.

    Parameters
    ----------
    technique
        The agent and its way.
    dressing
        Kind of the new dressing.
    staff
        People needed.
    barred
        Substances of the agents tried before this one, and not in it.
    """
    people = NUMBERS[staff] if staff < len(NUMBERS) else str(staff)
    parts = [f"{people} people.", technique.label]
    if technique.residue_removed_with:
        parts[-1] += f", then {technique.residue_removed_with.replace('-', ' ')}"
    parts[-1] += "."
    if dressing:
        parts.append(f"{DRESSINGS[dressing]}.")
    parts += [f"No {substance}." for substance in barred]
    return " ".join(parts)


def sentence_for_ask(facts: tuple[str, ...], until: str | None) -> str:
    """Return what must be known first, and what is right until then."""
    asked = " and ".join(facts) if len(facts) < len(NUMBERS) else "several facts"
    first = f"Ask first: {asked}."
    if until:
        return f"{first} If it cannot wait, {until[0].lower()}{until[1:]} is right either way."
    return first


def sentence_for_stop(call: str) -> str:
    """Return that nobody goes on alone."""
    return f"Stop. No antiseptic is agreed for this child. Call {call}."


def barred_substances(
    prepared: Prepared, agent: str, dressing: str | None, judged: Sequence[Truth]
) -> tuple[str, ...]:
    """Return what bars the agents tried before this one, but what the plan itself holds.

    A sensitivity bars the substance it names; any other rule the agent's first.
    """
    policy = prepared.book.policy
    held = () if dressing is None else DRESSING_KINDS[dressing].substances
    used = {*policy.agents[agent].contains, *held}
    found: dict[str, None] = {}
    for before in policy.antiseptics[: policy.antiseptics.index(agent)]:
        contains = policy.agents[before].contains
        for position in prepared.barred_by.get(before, ()):
            if judged[position] is True:
                when = prepared.book.exclusions[position].when
                found |= dict.fromkeys(_substances_of(when, contains))
    return tuple(substance for substance in found if substance not in used)


def _substances_of(when: LiveWhen, contains: tuple[str, ...]) -> tuple[str, ...]:
    named = {
        str(word)
        for row in when.rows
        for c in row
        if c.fact == "sensitivities" and isinstance(c.limit, frozenset)
        for word in c.limit
    }
    return tuple(word for word in contains if word in named) or contains[:1]
