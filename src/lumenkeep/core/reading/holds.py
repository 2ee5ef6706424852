"""What the facts of a case hold its line for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model.facts import Unknown
from lumenkeep.core.model.signs import REPORTED
from lumenkeep.core.policy import Situation
from lumenkeep.core.reading.line_reading import Hold
from lumenkeep.core.watch.site import signs_words

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from lumenkeep.core.model import Case
    from lumenkeep.core.policy import Policy


def holds_of_case(case: Case, at: datetime, policy: Policy) -> tuple[Hold, ...]:
    """Return what the facts of a case hold its line for at an instant (UTC).

    A case tells signs of the site and no lengths, looks or acts: what only the chart
    shows is not among them.
    """
    findings = case.line.dressing.findings
    if isinstance(findings, Unknown):
        return ()
    since = {one.kind: one.at or at for one in findings if one.kind in REPORTED}
    situation = Situation(case, at)
    found = []
    for live in policy.on(at.astimezone(case.zone).date()).concerns:
        rule = live.rule
        shown = since.keys() & set(rule.signs)
        # A rule of which it is not known whether it holds is on the safe side.
        if rule.hold and shown and live.when.truth(situation) is not False:
            words = signs_words(shown)
            says = f"{words[:1].upper()}{words[1:]}."
            first = min(since[one] for one in shown)
            found.append(Hold(rule.id, rule.label, says, rule.hold, first))
    return tuple(found)


def carried(holds: Iterable[Hold]) -> list[dict[str, str]]:
    """Return holds as they are carried to the bedside."""
    return [{"says": one.says, "until": one.until} for one in holds]
