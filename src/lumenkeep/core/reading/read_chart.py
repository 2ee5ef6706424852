"""Read every line of a chart at one instant: facts, what is due, concerns, the plan."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.due import DueTask, due_tasks
from lumenkeep.core.model.chart import is_a_line, so_far
from lumenkeep.core.planning import Plan, plan_change
from lumenkeep.core.reading.line_reading import LineReading, RulesOfSet, read_line
from lumenkeep.core.recovery.plan_spares import PlanSpares, spares_asked, spares_in_plan

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import datetime, tzinfo

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.recovery.plan_spares import KeptSpares


@dataclass(frozen=True, slots=True)
class ChartedLine:
    """A line of a chart as it stood at one instant.

    Attributes
    ----------
    line, child
        Keys.
    reading
        What holds for it.
    tasks, plan
        What is due, and how a change would be done; empty and None once it is out.
    spares
        What to lay out beyond the plan's own supplies, where that was asked for.
    """

    line: str
    child: str
    reading: LineReading
    tasks: tuple[DueTask, ...] = ()
    plan: Plan | None = None
    spares: PlanSpares | None = None


def read_chart(
    entries: Iterable[Entry],
    at: datetime,
    policy: Policy,
    zone: tzinfo,
    kept: KeptSpares | None = None,
) -> Iterator[ChartedLine]:
    """Yield each line of which something was on the chart at ``at``, by its key.

    What happened or was written later counts for nothing: an instant is read as it
    could be read then. A line whose insertion was taken back is out.

    Parameters
    ----------
    entries
        Of any children and lines, in any order.
    at
        Instant asked about (UTC).
    policy
        By whose rules everything is judged.
    zone
        Whose wall clock counts.
    kept
        Where extra supplies that were worked out are kept; None: leave them out.
    """
    of_line: dict[tuple[str, str], list[Entry]] = defaultdict(list)
    of_child: dict[str, list[Entry]] = defaultdict(list)
    for entry in sorted(so_far(entries, at, at), key=lambda e: e.id):
        if entry.line is None:
            of_child[entry.child].append(entry)
        else:
            of_line[entry.line, entry.child].append(entry)
    rules = RulesOfSet(policy, zone)
    for (line, child), told in sorted(of_line.items()):
        if is_a_line(told):
            reading = read_line([*of_child[child], *told], at, rules, zone, known_at=at)
            yield _charted(line, child, reading, policy, kept)


def _charted(
    line: str,
    child: str,
    reading: LineReading,
    policy: Policy,
    kept: KeptSpares | None,
) -> ChartedLine:
    if reading.state.removed_at is not None:
        return ChartedLine(line, child, reading)
    case, at = reading.state.case, reading.at
    plan = plan_change(case, at, policy)
    spares = None
    if kept is not None:
        asked = spares_asked(policy, case, plan)
        spares = None if asked is None else spares_in_plan(asked, kept)
    return ChartedLine(line, child, reading, due_tasks(case, at, policy), plan, spares)
