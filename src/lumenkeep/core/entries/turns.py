"""Since when each charted fact that a bar may speak of is as it is now.

A bar that such a fact turned holds since then, and no earlier: nobody is late with what
nobody knew. Birth and weighings are left out; they say themselves when they count.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model import Unknown
from lumenkeep.core.model.case import SENSITIVITIES, substance_fact
from lumenkeep.core.model.closed_facts import CLOSED_FACTS

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.core.model import Child, Line


def note_turns(
    known: dict[str, datetime],
    before: tuple[Child, Line],
    after: tuple[Child, Line],
    at: datetime,
) -> None:
    """Keep in ``known`` which facts one entry turned, with its time (UTC)."""
    if before[0] is after[0] and before[1] is after[1]:
        return
    old, new = _facts(*before), _facts(*after)
    for name, value in new.items():
        if value != old[name]:
            known[name] = at
    was, is_ = _substances(before[0]), _substances(after[0])
    for word in was - is_:
        known.pop(substance_fact(word), None)
    for word in is_ - was:
        known[substance_fact(word)] = at


def _facts(child: Child, line: Line) -> dict[str, object]:
    return {
        **{fact.name: fact.value(child, line) for fact in CLOSED_FACTS},
        "lumens": line.lumens,
        SENSITIVITIES: child.sensitivities,
    }


def _substances(child: Child) -> frozenset[str]:
    known = child.sensitivities
    return frozenset() if isinstance(known, Unknown) else known
