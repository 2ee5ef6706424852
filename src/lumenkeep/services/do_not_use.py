"""Why a line is not to be used, as whoever is about to use it must be told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.model.facts import Unknown
from lumenkeep.model.signs import REPORTED
from lumenkeep.policy import Situation
from lumenkeep.services.concern_rules import RulesOfWard
from lumenkeep.services.line_reading import Hold, read_line
from lumenkeep.watch.site import signs_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime

    from lumenkeep.model import Case
    from lumenkeep.model.entry import Entry
    from lumenkeep.policy import Policy
    from lumenkeep.services.line_at_hand import LineAtHand
    from lumenkeep.services.ports import Chart, Policies


def do_not_use(
    chart: Chart, policies: Policies, line: LineAtHand, at: datetime
) -> tuple[Hold, ...]:
    """Return every reason not to use a line at an instant (UTC); none where it may be."""
    return do_not_use_by(policies, line, chart.entries(line.record.key), at)


def do_not_use_by(
    policies: Policies, line: LineAtHand, entries: Sequence[Entry], at: datetime
) -> tuple[Hold, ...]:
    """Return what some of a line's entries hold it for; none before its insertion."""
    if not any(entry.kind == "line-inserted" for entry in entries):
        return ()
    rules = RulesOfWard(policies, line.ward)
    return read_line(entries, at, rules, line.ward.zone).holds


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
