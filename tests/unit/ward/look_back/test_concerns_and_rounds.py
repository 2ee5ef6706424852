"""Concerns of a period, and rounds with the unit's own and outsiders apart."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from tests.fakes.chart import FakeChart
from tests.fakes.clock import NOON
from tests.unit.ward.look_back.wards import DAY, TODAY, Told, figure

from lumenkeep.core.outcomes.rounds.look import KEPT, NOT_KEPT, NOT_SEEN, LineLook
from lumenkeep.core.policy import load_policy
from lumenkeep.ward.concerns.records import OpenLine

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry

HOUR = timedelta(hours=1)


@dataclass
class FakeShelf:
    """Plays the source of concerns over a chart in memory."""

    chart: FakeChart

    def open_lines(self, ward: str | None) -> Sequence[OpenLine]:
        return [OpenLine("l-1", "c-1", "Demo Sorrel", "kestrel", 1)]

    def lines_of_period(
        self, ward: str, first: datetime, last: datetime
    ) -> Sequence[OpenLine]:
        return self.open_lines(ward)

    def entries_of(self, lines: Collection[str]) -> Mapping[str, Sequence[Entry]]:
        return {line: self.chart.entries(line) for line in lines}


@dataclass
class FakeRounds:
    """Plays the book of looks."""

    held: list[LineLook]

    def looks(
        self, wards: Collection[str], start: datetime, end: datetime
    ) -> Sequence[LineLook]:
        return [one for one in self.held if start <= one.at < end]


def with_concerns() -> Told:
    told = Told()
    told.more["concerns"] = FakeShelf(told.chart)
    return told


def moved(told: Told, at: datetime, mm: float = 60.0) -> Entry:
    """Chart a length that no policy takes for measuring."""
    body: dict[str, Any] = {
        "dressing": "transparent-chg-gel",
        "because": "planned",
        "external_length_mm": mm,
    }
    return told.add("dressing-change", at, body)


def test_a_concern_of_the_period_is_counted_with_the_entries_that_show_it() -> None:
    told = with_concerns()
    entry = moved(told, NOON - DAY)

    part = told.look().section("concerns")

    assert part is not None
    assert part.sentence.startswith("1 concern was found; 1 is still open")
    found = part.figure("found")
    assert found is not None
    assert entry.id in found.entries
    assert found.words == "Line has moved 1."


def test_a_concern_found_earlier_and_still_open_is_told_apart() -> None:
    told = with_concerns()
    moved(told, NOON - 3 * DAY)

    part = told.look(first=TODAY - DAY).section("concerns")

    assert part is not None
    assert part.sentence == (
        "No concern was found, 1 older one was open; 1 is still open, and 1 went "
        "beyond its time."
    )
    assert part.unknown == (
        "How 1 concern ended: nobody has closed it, and the time for it is past.",
    )


def test_a_quiet_ward_says_so() -> None:
    part = with_concerns().look().section("concerns")

    assert part is not None
    assert part.sentence == "Nothing was found that somebody had to act on."


def looks(told: Told, *answers: tuple[bool, str]) -> None:
    """Let the book hold looks at every standing item, one answer each."""
    items = [item.id for item in load_policy("quillmere").round_items]
    told.more["rounds"] = FakeRounds(
        [
            LineLook(
                n, "l-1", "kestrel", NOON - n * HOUR, "s-9", from_unit,
                dict.fromkeys(items, answer),
            )
            for n, (from_unit, answer) in enumerate(answers, 1)
        ]
    )  # fmt: skip


def test_a_period_before_the_first_day_of_the_policy_is_looked_back_on() -> None:
    told = Told()
    looks(told, (True, KEPT))

    part = told.look(first=date(2020, 1, 1), last=date(2020, 1, 31)).section("rounds")

    assert part is not None


def test_the_units_own_and_outsiders_are_never_taken_together() -> None:
    told = Told()
    looks(told, (True, KEPT), (True, KEPT), (False, NOT_KEPT), (False, KEPT))

    found = told.look()

    part = found.section("rounds")
    assert part is not None
    assert part.sentence == (
        "People of the unit saw every item that can be seen at any time in place on "
        "100 % of 2 looks; people from outside saw every item that can be seen at any "
        "time in place on 50 % of 2 looks."
    )
    assert figure(found, "rounds", "looks-unit")[0] == "2"
    assert [picture.key for picture in part.pictures] == [
        "rounds-unit",
        "rounds-outside",
    ]
    assert part.lines[0].endswith(" The two are never taken together.")
    assert "s-9" not in repr(part)


def test_without_an_outsider_it_is_said_that_nobody_has_looked() -> None:
    told = Told()
    looks(told, (True, KEPT), (True, NOT_SEEN))

    part = told.look().section("rounds")

    assert part is not None
    assert part.unknown[0].startswith(
        "What people from outside would see: nobody has looked."
    )
    assert part.unknown[1].startswith(
        "1 look by people of the unit did not see every item"
    )
    bundle = part.figure("bundle-unit")
    assert bundle is not None
    assert bundle.value == "50 to 100 %"


def test_a_period_without_a_round_says_so() -> None:
    told = Told()
    looks(told)

    part = told.look().section("rounds")

    assert part is not None
    assert part.sentence == "No line was looked at on a round."
