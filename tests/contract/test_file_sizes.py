"""A file above 400 lines asks to be read again: cut along an idea, or kept on purpose."""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).parents[2] / "src" / "lumenkeep"
ASKS_TO_BE_READ_AGAIN = 400
KEPT_ON_PURPOSE = {
    "files/timeline/parts.py": "one file format, read from its first key to its last",
}


def _long_files() -> set[str]:
    return {
        path.relative_to(PACKAGE).as_posix()
        for path in PACKAGE.rglob("*.py")
        if len(path.read_bytes().splitlines()) > ASKS_TO_BE_READ_AGAIN
    }


def test_a_long_file_was_read_again() -> None:
    unread = _long_files() - KEPT_ON_PURPOSE.keys()

    assert not unread, f"cut along an idea, or say here why each stays whole: {unread}"


def test_no_reason_outlives_its_long_file() -> None:
    assert KEPT_ON_PURPOSE.keys() - _long_files() == set()
