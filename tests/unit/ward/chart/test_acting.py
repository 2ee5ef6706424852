"""What every action that charts has in common, on one that charts a note."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from tests.fakes.at_ward import at_ward, sent
from tests.fakes.chart import chart_with_a_line
from tests.fakes.clock import FixedClock

from lumenkeep.demo.hospital import KESTREL
from lumenkeep.errors import ChartError
from lumenkeep.ward.chart.acting import ToChart, WardContext, charts
from lumenkeep.ward.chart.records import Draft

if TYPE_CHECKING:
    from lumenkeep.ward.site.sent import Sent
    from lumenkeep.ward.site.typed_values import Typed


@charts
def chart_a_word(at: WardContext, sent: Sent, form: Typed, *, line: str) -> ToChart:
    """Chart two words as they were typed."""
    one = form.text("one", "One", needed=True)
    two = form.text("two", "Two", needed=True)
    body = {"what": one, "note": two}
    draft = Draft("c-1", line, "concern-raised", at.clock.now(), sent.by.key, body)
    return ToChart(KESTREL, [draft])


@pytest.fixture
def at() -> WardContext:
    clock = FixedClock()
    return at_ward(chart_with_a_line(clock), clock)


def _charted(at: WardContext) -> int:
    return sum(e.kind == "concern-raised" for e in at.chart.entries("l-1"))


def test_what_was_sent_is_charted_by_whoever_sent_it(at: WardContext) -> None:
    (entry,) = chart_a_word(at, sent({"one": "a", "two": "b"}, "s-flint"), line="l-1")

    assert (entry.by, entry.body) == ("s-flint", {"what": "a", "note": "b"})
    assert chart_a_word.__name__ == "chart_a_word"


def test_sent_twice_it_is_charted_once_and_answered_alike(at: WardContext) -> None:
    told = sent({"one": "a", "two": "b"}, submission="f-1")

    assert chart_a_word(at, told, line="l-1") == chart_a_word(at, told, line="l-1")
    assert _charted(at) == 1


def test_every_fault_is_told_at_once_and_nothing_is_charted(at: WardContext) -> None:
    with pytest.raises(ChartError) as caught:
        chart_a_word(at, sent({"one": " "}), line="l-1")

    assert [fault.where for fault in caught.value.faults] == ["one", "two"]
    assert _charted(at) == 0
