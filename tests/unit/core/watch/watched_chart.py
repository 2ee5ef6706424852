"""A line's entries, and what they raise, for the tests of watching."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

from tests.fakes.clock import NOON

from lumenkeep.core.entries import line_state
from lumenkeep.core.model.entry import Entry
from lumenkeep.core.policy import Policy, Situation, load_policy
from lumenkeep.core.watch.concerns_found import found_concerns
from lumenkeep.core.watch.concerns_life import acts_by_key, concern_at

if TYPE_CHECKING:
    from lumenkeep.core.watch.concerns import Concern, FoundConcern


@dataclass
class WatchedChart:
    """Entries of one PICC in an upper arm, put in ten days before `NOON`."""

    policy: Policy = field(default_factory=lambda: load_policy("published"))
    entries: list[Entry] = field(default_factory=list)

    def put(
        self, what: str, hours_ago: float, /, corrects: int | None = None, **body: Any
    ) -> int:
        """Add an entry; return its id, which is its place in the order of writing."""
        number = len(self.entries) + 1
        at = NOON - timedelta(hours=hours_ago)
        line = None if what in ("weight", "birth") else "l-1"
        self.entries.append(
            Entry(number, "c-1", line, what, at, at, "s-1", "p", corrects, body)
        )
        return number

    def inserted(self, hours_ago: float = 240, **body: Any) -> int:
        """Put the line in."""
        start = {"kind": "picc", "site": "upper-arm", "external_length_mm": 20}
        return self.put("line-inserted", hours_ago, **{**start, **body})

    def weighs(self, grams: float) -> int:
        return self.put("weight", 239, g=grams)

    def found(self) -> tuple[FoundConcern, ...]:
        """Return every finding that raises a concern."""
        case = line_state(self.entries, NOON, UTC).case
        return found_concerns(
            self.entries,
            lambda entry: self.policy.on(entry.happened_at.date()),
            Situation(case, NOON).later,
            UTC,
        )

    def rules(self) -> list[str]:
        """Return the rule of each finding, in the order found."""
        return [one.duty.rule for one in self.found()]

    def concerns(self, at: datetime = NOON) -> dict[str, Concern]:
        """Return each concern by its key, as it stands at an instant."""
        acts = acts_by_key(self.entries)
        return {
            one.key: concern_at(one, acts.get(one.key, ()), at) for one in self.found()
        }


def watched(**inserted: Any) -> WatchedChart:
    """Return a chart of a line that lies in a child of 20 kg."""
    chart = WatchedChart()
    chart.inserted(**inserted)
    chart.weighs(20_000)
    return chart
