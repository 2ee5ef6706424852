"""Every benchmark can run small, and the list of them is whole; CI runs them all."""

from __future__ import annotations

from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "benchmarks"
FILES = sorted(path.name for path in FOLDER.glob("bench_*.py"))


@pytest.mark.parametrize("name", FILES)
def test_a_benchmark_is_listed_and_can_run_small(name: str) -> None:
    assert f"`{name}`" in (FOLDER / "README.md").read_text("utf-8")
    assert "from sizes import" in (FOLDER / name).read_text("utf-8")


def test_continuous_integration_runs_them() -> None:
    assert FILES
    assert "make bench-small" in (ROOT / ".ci/run").read_text("utf-8")
