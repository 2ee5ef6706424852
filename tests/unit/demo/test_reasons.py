"""Some changes of the demo say no reason, so that the unknown has something to show."""

from __future__ import annotations

from collections import Counter

from tests.fakes.clock import NOON
from tests.fakes.demo import demo_at

from lumenkeep.demo.chronicle import EARLY, NOT_CHARTED


def test_some_changes_are_early_and_some_have_no_reason() -> None:
    reasons = Counter(
        entry.body.get("because")
        for entry in demo_at(NOON).entries
        if entry.kind == "dressing-change"
    )

    assert (reasons["early"], reasons[None]) == (EARLY, NOT_CHARTED)
    assert reasons["planned"] > 100
    assert sum(reasons[word] for word in ("damp", "loose", "soiled")) > 20
