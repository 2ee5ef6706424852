"""A chart is read line by line, each once."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

import pytest
from tests.fakes.chart_lines import read, row

from lumenkeep.core.policy import load_policy
from lumenkeep.core.reading import read_chart as module
from lumenkeep.core.reading.read_chart import read_chart

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.model.entry import Entry

AT = datetime(2026, 11, 24, 8, tzinfo=UTC)
MANY = 1000


@pytest.mark.timeout(120)
def test_a_thousand_lines_are_read_once_each_by_their_own_entries_alone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    rows = [
        row(number * 2 + part, kind, body, child=f"c-{number}",
            line=f"l-{number}" if kind == "line-inserted" else None)
        for number in range(MANY)
        for part, (kind, body) in enumerate(
            (("birth", {"born": "2026-11-01"}), ("line-inserted", {"kind": "picc"}))
        )
    ]  # fmt: skip
    asked: list[int] = []
    plain = module.read_line

    def counted(entries: Sequence[Entry], *rest: Any, **named: Any) -> Any:
        asked.append(len(entries))
        return plain(entries, *rest, **named)

    monkeypatch.setattr(module, "read_line", counted)

    lines = list(read_chart(read(*rows), AT, load_policy("quillmere"), UTC))

    assert [one.line for one in lines] == sorted(f"l-{n}" for n in range(MANY))
    assert all(one.plan is not None for one in lines)
    assert asked == [2] * MANY
