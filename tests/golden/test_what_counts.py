"""What counts as a difference, and what chance or a formatting tool may change."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from tests.golden.folder import Folder
from tests.golden.parts.html import Page

if TYPE_CHECKING:
    from pathlib import Path

PAGE = "<p>Wash <b>both</b> hands.</p><label>At <input name=at></label><pre>a\n b</pre>"


@pytest.mark.parametrize(
    "same",
    [
        PAGE.replace("<p>", "\n  <p>\n  ").replace("</p>", "\n </p>\n"),
        PAGE.replace("Wash ", "Wash\n   "),
        PAGE.replace("</label>", " </label>"),
    ],
)
def test_white_space_that_is_not_seen_does_not_count(same: str) -> None:
    assert Page(same).lines == Page(PAGE).lines


@pytest.mark.parametrize(
    "other",
    [
        PAGE.replace("both", "all"),
        PAGE.replace("Wash ", "Wash"),
        PAGE.replace("<b>both</b>", "both"),
        PAGE.replace("name=at", "name=on"),
        PAGE.replace("\n b", "\nb"),
    ],
)
def test_words_tags_fields_and_spaces_in_a_sentence_count(other: str) -> None:
    assert Page(other).lines != Page(PAGE).lines


def test_a_path_is_the_same_with_spaces_at_its_letters() -> None:
    assert Page('<path d="M1 2 a3 4Z">').lines == Page('<path d="M1 2a3 4 Z">').lines


def test_keys_that_chance_made_are_numbered_in_text_and_name(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.known = frozenset({"l-0123456789"})

    folder.text("draft_d-abcdef0123", "l-0123456789 c-9876543210 c-9876543210")

    assert [path.name for path in tmp_path.iterdir()] == ["draft_key-1"]
    assert (tmp_path / "draft_key-1").read_text("utf-8") == (
        "l-0123456789 <key 1> <key 1>\n"
    )
