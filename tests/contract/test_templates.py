"""Templates are formatted by djade, and no line of one asks a reader to scroll."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

SRC = Path(__file__).parents[2] / "src"
DJADE = Path(sys.executable).with_name("djade")
MOST_COLUMNS = 120


def templates(under: Path) -> list[Path]:
    return sorted(path for path in under.rglob("*.html") if "templates" in path.parts)


def too_wide(paths: list[Path]) -> list[str]:
    return [
        f"{path}:{number}: {len(line)} columns"
        for path in paths
        for number, line in enumerate(path.read_text("utf-8").splitlines(), start=1)
        if len(line) > MOST_COLUMNS
    ]


def djade(paths: list[Path]) -> subprocess.CompletedProcess[str]:
    """Ask djade, changing nothing: it answers 0 where it would leave all as it is."""
    command = [str(DJADE), "--target-version", "5.2", "--check", *map(str, paths)]
    return subprocess.run(command, capture_output=True, text=True, check=False)


@pytest.fixture
def planted(tmp_path: Path) -> Path:
    path = tmp_path / "templates" / "planted.html"
    path.parent.mkdir()
    return path


def test_no_line_of_a_template_is_over_120_columns() -> None:
    found = templates(SRC)

    assert found, "no template was found, so nothing was looked at"
    assert not too_wide(found), "break it where no reader sees it, between blocks"


def test_a_line_of_121_columns_is_found(planted: Path) -> None:
    planted.write_text("é" * 120 + "\n" + "é" * 121 + "\n", encoding="utf-8")

    assert too_wide(templates(planted.parents[1])) == [f"{planted}:2: 121 columns"]


def test_every_template_is_formatted() -> None:
    answer = djade(templates(SRC))

    assert answer.returncode == 0, f"run make fmt: {answer.stderr}"


def test_a_template_that_is_not_formatted_is_found(planted: Path) -> None:
    planted.write_text("{%if  a%}b{%endif%}\n", encoding="utf-8")

    answer = djade([planted])

    assert answer.returncode == 1
    assert str(planted) in answer.stderr
