"""A line as a form meets it: its ward and policy, what holds it, what was used on it.

A plan names what may be used. The chart holds what was used: an agent that is barred
for the child, none, or one of which the policy does not speak. A form that offers only
what is right is filled in wrongly.

A bed tells no child: it may be a slip, and the hands go to the wrong one; or twins
share it. So it is said, and never refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.entries.kinds.of_dressing import PLANNED
from lumenkeep.core.model import known_or_none
from lumenkeep.core.model.chart import standing
from lumenkeep.core.policy import Policy
from lumenkeep.core.reading.line_reading import Hold, book_for, read_line
from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.chart.records import LineRecord
from lumenkeep.ward.site.people import WardRecord

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.policy import RuleBook
    from lumenkeep.ward.chart.acting import WardContext
    from lumenkeep.ward.chart.store.policies import PoliciesInForce
    from lumenkeep.ward.chart.store.repository import ChartRepository

BESIDE = {
    "saline-only": "Sterile saline or water only",
    "none": "Nothing was used",
    "another": "Another one, of which the policy does not speak",
}
"""Words that can be charted with every policy, beside its own agents."""


def agents_used(policy: Policy) -> dict[str, str]:
    """Return every answer to what was used on the skin, with its words."""
    return {key: agent.label for key, agent in policy.agents.items()} | BESIDE


@dataclass(frozen=True, slots=True)
class LineAtHand:
    """A line, the ward its child lies on, and the policy in force there."""

    record: LineRecord
    ward: WardRecord
    policy: Policy


def line_at_hand(at: WardContext, key: str) -> LineAtHand:
    """Return the line, in place or removed.

    Of a child who has left the wards it is the line as its last ward knows it: a
    result may come late, and a slip is mended when it is seen.

    Raises
    ------
    ChartError
        ``chart-no-such-line``: none has this key, or its child lay on no ward ever.
    """
    record = at.chart.line(key)
    if record is None:
        raise ChartError([_no_line("There is no such line on the chart.")])
    ward = ward_of(at.chart, record) or _last_ward(at.chart, key)
    if ward is None:
        raise ChartError([_no_line("The line's child lies on no ward.")])
    policy = at.policies.in_force(ward.policy_set, ward.key)
    return LineAtHand(record, ward, policy)


def line_in_place(at: WardContext, key: str) -> LineAtHand:
    """Return the line, which must still be in.

    Raises
    ------
    ChartError
        ``chart-line-removed``: nothing more can be done on it; also as
        `line_at_hand`.
    """
    found = line_at_hand(at, key)
    if found.record.state.removed_at is not None:
        raise ChartError(
            [
                Fault(
                    "chart-line-removed",
                    "This line has been taken out.",
                    "line",
                    "open the child's other line, or correct the removal first",
                )
            ]
        )
    return found


def ward_of(chart: ChartRepository, record: LineRecord) -> WardRecord | None:
    """Return the ward the line's child lies on; None for a child on no ward."""
    return next((ward for ward in chart.wards() if ward.key == record.ward), None)


def _last_ward(chart: ChartRepository, key: str) -> WardRecord | None:
    """Return the ward the line's child lay on last; None where it lay on none."""
    stays = [entry for entry in standing(chart.entries(key)) if entry.kind == "stay"]
    known = {ward.key: ward for ward in chart.wards()}
    lain = [known.get(entry.body.get("ward") or "") for entry in stays]
    return next((ward for ward in reversed(lain) if ward is not None), None)


def _no_line(what: str) -> Fault:
    return Fault("chart-no-such-line", what, "line", "open the line from the ward view")


def likely_reason(found: LineAtHand) -> str:
    """Return the last finding on the dressing that is on, or that it was due."""
    worn = found.record.state.case.line.dressing
    findings = known_or_none(worn.findings)
    return findings[-1].kind if findings else PLANNED


class RulesOfWard:
    """The rules of one ward through time, each version looked up once.

    Parameters
    ----------
    policies
        The policies as they are and were.
    ward
        Whose rules.

    Raises
    ------
    PolicyError
        The set in force now is faulty.
    """

    def __init__(self, policies: PoliciesInForce, ward: WardRecord) -> None:
        self._policies = policies
        self._ward = ward
        self.now = policies.in_force(ward.policy_set, ward.key)
        self._then: dict[str, Policy] = {}

    def book_of(self, entry: Entry) -> RuleBook:
        """Return the rules in force when an entry was written, for the day it was so.

        An entry of a time without rules about concerns, or without one of their
        numbers, is judged by the latest there are: a finding must not go unseen
        because the rules came later.
        """
        return book_for(self._policy_of(entry), self.now, entry, self._ward.zone)

    def _policy_of(self, entry: Entry) -> Policy:
        if entry.policy not in self._then:
            ward = self._ward
            then = self._policies.in_force_at(
                ward.policy_set, entry.written_at, ward.key
            )
            is_usable = then is not None and then.concerns
            self._then[entry.policy] = then if then and is_usable else self.now
        return self._then[entry.policy]


def do_not_use(at: WardContext, line: LineAtHand) -> tuple[Hold, ...]:
    """Return every reason not to use a line now; none where it may be used."""
    entries = at.chart.entries(line.record.key)
    return do_not_use_by(at.policies, line, entries, at.clock.now())


def do_not_use_by(
    policies: PoliciesInForce, line: LineAtHand, entries: Sequence[Entry], at: datetime
) -> tuple[Hold, ...]:
    """Return what some of a line's entries hold it for; none before its insertion."""
    if not any(entry.kind == "line-inserted" for entry in entries):
        return ()
    rules = RulesOfWard(policies, line.ward)
    return read_line(entries, at, rules, line.ward.zone).holds


SHARES_BED = "Another child has this bed number too"


def lines_in_shared_beds(records: Iterable[LineRecord]) -> frozenset[str]:
    """Return the keys of the lines in whose bed another child's line lies.

    Parameters
    ----------
    records
        Every line in place on the wards that are asked about.
    """
    by_bed: dict[tuple[str, str], dict[str, list[str]]] = {}
    for one in records:
        children = by_bed.setdefault((one.ward, _alike(one.bed)), {})
        children.setdefault(one.child, []).append(one.key)
    return frozenset(
        key
        for (ward, bed), children in by_bed.items()
        if ward and bed and len(children) > 1
        for keys in children.values()
        for key in keys
    )


def shares_bed(chart: ChartRepository, ward: str, bed: str, child: str) -> bool:
    """Return whether another child's line lies, or would lie, in this child's bed.

    Parameters
    ----------
    ward, bed
        Where the child lies, or is to lie; empty where it lies nowhere.
    child
        Key of the child.
    """
    own = _alike(bed)
    if not (ward and own):
        return False
    return any(
        _alike(other) == own and key != child for other, key in chart.beds_in(ward)
    )


def _alike(bed: str) -> str:
    return " ".join(bed.split()).casefold()
