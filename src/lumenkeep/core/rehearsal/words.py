"""A break of asepsis in words: the step and its sentence, and where it is done so.

Of the facts that make a setting only those are named that the break hangs on.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.core.asepsis.check import Break
    from lumenkeep.core.asepsis.procedure import Step
    from lumenkeep.core.rehearsal.rehearse import Rehearsal
    from lumenkeep.core.rehearsal.setting_words import Words


def step_of(rehearsal: Rehearsal, found: Break) -> Step | None:
    """Return the step that breaks the rule, None where it is how all ends."""
    for one in rehearsal.branches:
        if found in one.walk.breaks:
            for act in one.branch.acts:
                if act.step.id == found.step:
                    return act.step
    return None


def done_where(rehearsal: Rehearsal, found: Break) -> str:
    """Return in which settings a rule is broken at a step; empty where in all.

    As in "; only with agent povidone-iodine, site femoral".
    """
    broken: list[Words] = []
    every: list[Words] = []
    for one in rehearsal.branches:
        every += one.settings
        if any((b.step, b.table) == (found.step, found.table) for b in one.walk.breaks):
            broken += one.settings
    needed = []
    for fact in dict.fromkeys(fact for one in every for fact in one):
        words = _words(broken, fact)
        if len(words) < len(_words(every, fact)):
            needed.append(f"{fact} {' or '.join(words)}")
    return f"; only with {', '.join(needed)}" if needed else ""


def _words(settings: Iterable[Words], fact: str) -> list[str]:
    """Return the words that a fact takes in some settings, each once."""
    known = (one.get(fact, ("unknown",)) for one in settings)
    return list(dict.fromkeys(word for words in known for word in words))
