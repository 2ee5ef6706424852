"""One idea a file: a file above 400 lines asks to be cut along an idea."""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).parents[2] / "src" / "lumenkeep"
MOST_LINES = 400


def test_no_source_file_is_too_long() -> None:
    lengths = {
        str(path.relative_to(PACKAGE)): len(path.read_bytes().splitlines())
        for path in PACKAGE.rglob("*.py")
    }

    too_long = {name: lines for name, lines in lengths.items() if lines > MOST_LINES}

    assert not too_long, f"above {MOST_LINES} lines, cut along an idea: {too_long}"
