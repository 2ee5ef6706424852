"""The reader of policy files answers as the standard library's, from which it comes."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
import tomli
from hypothesis import given
from hypothesis import strategies as st

import lumenkeep

SHIPPED = sorted(Path(lumenkeep.__file__).parent.rglob("*.toml"))
PIECES = (
    "[a]", "[[a]]", "a = 1", "a.b = 'x'", 'a = """\nx"""', "a = [1, 2,]", "a = {b = 1}",
    "a = 1e400", "a = 2026-12-01", "a = 2026-12-01T08:00:00-06:00", "a = 00", "a = nan",
    "a = 1_0", '"a\\u0041" = true', "a = ", "[a", "# words", "=", "\x00", "\ufeff", "é = 1",
)  # fmt: skip


def answer(reader: Any, text: str) -> object:
    """Return what a reader makes of a text, or its complaint; nan is equal to itself."""
    try:
        return repr(reader.loads(text))
    except reader.TOMLDecodeError as error:
        return str(error)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.name)
def test_a_shipped_file_reads_alike(path: Path):
    text = path.read_text("utf-8")
    assert tomli.loads(text) == tomllib.loads(text)


@given(st.lists(st.sampled_from(PIECES) | st.text(max_size=8), max_size=6))
def test_any_text_reads_or_fails_alike(pieces: list[str]):
    text = "\n".join(pieces)
    assert answer(tomli, text) == answer(tomllib, text)
