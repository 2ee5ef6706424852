"""The demo really starts, fills itself once, and starts again quickly."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from tests.fakes.served import served_demo
from tests.fakes.worker import until

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.timeout(180)
def test_the_demo_fills_itself_once_and_no_second_time(tmp_path) -> None:
    with served_demo(tmp_path):
        first = (tmp_path / "server.log").read_text()
    with served_demo(tmp_path) as address:
        # A worker comes with the server, and goes with it.
        until(lambda: _workers(tmp_path))
    assert _workers(tmp_path) == []
    again = (tmp_path / "server.log").read_text().removeprefix(first)

    assert "Filled:" in first
    assert "demo-only-quillmere" in first
    assert "Filled:" not in again
    assert address in again


def _workers(folder: Path) -> list[str]:
    with closing(sqlite3.connect(folder / "demo" / "lumenkeep.sqlite3")) as chart:
        return [name for (name,) in chart.execute("SELECT name FROM work_beat")]


@pytest.mark.timeout(180)
def test_a_fresh_demo_is_filled_anew_and_real_data_is_not_touched(tmp_path) -> None:
    real = tmp_path / "lumenkeep.sqlite3"
    real.write_text("the ward's own")
    with served_demo(tmp_path):
        pass
    with served_demo(tmp_path, "--fresh"):
        pass

    assert (tmp_path / "server.log").read_text().count("Filled:") == 2
    assert real.read_text() == "the ward's own"
    with sqlite3.connect(tmp_path / "demo" / "lumenkeep.sqlite3") as chart:
        with pytest.raises(sqlite3.IntegrityError, match="append-only"):
            chart.execute("DELETE FROM chart_entry")
        assert chart.execute("PRAGMA journal_mode").fetchone() == ("wal",)
