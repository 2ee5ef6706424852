"""What can stand in the place of a file of a set, and what is said of it."""

from __future__ import annotations

import codecs
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

from lumenkeep.cli.main import main
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.archive import policy_from_texts, set_texts
from lumenkeep.errors import PolicyError

if TYPE_CHECKING:
    from pathlib import Path

HEAD = """
[set]
id = "own"
title = "Café"
version = "1"
extends = "quillmere"
call = "the vascular access nurse on call"
"""


def written(folder: Path) -> Path:
    """Return a set of one sound file."""
    (folder / "set.toml").write_text(HEAD, encoding="utf-8")
    return folder


def refused(folder: Path) -> list[str]:
    """Return what is said of a set that does not load, its name left out."""
    with pytest.raises(PolicyError) as caught:
        load_policy(str(folder))
    return str(caught.value).replace(folder.name, "SET").splitlines()


def test_a_link_that_leads_in_a_ring_is_told(tmp_path: Path) -> None:
    (written(tmp_path) / "more.toml").symlink_to("again.toml")
    (tmp_path / "again.toml").symlink_to("more.toml")

    assert refused(tmp_path) == [
        "This is a link that leads to no file.  [policy-not-a-file]",
        "  where: SET/again.toml",
        "  mend:  put the file itself here, or take the link out",
        "This is a link that leads to no file.  [policy-not-a-file]",
        "  where: SET/more.toml",
        "  mend:  put the file itself here, or take the link out",
    ]


@pytest.mark.parametrize("name", ["own.toml", "procedures/own.toml"])
def test_a_folder_called_like_a_file_is_told(tmp_path: Path, name: str) -> None:
    (written(tmp_path) / name).mkdir(parents=True)

    assert refused(tmp_path) == [
        (
            "This is a folder, and a file is looked for under that name.  "
            "[policy-not-a-file]"
        ),
        f"  where: SET/{name}",
        "  mend:  take '.toml' out of the folder's name, or move it away",
    ]


@pytest.mark.parametrize("name", ["deep.toml", "procedures/deep.toml"])
def test_thousands_of_brackets_are_told(tmp_path: Path, name: str) -> None:
    deep = written(tmp_path) / name
    deep.parent.mkdir(exist_ok=True)
    deep.write_text("x = " + "[" * 5000 + "]" * 5000, encoding="utf-8")

    result = CliRunner().invoke(main, ["policy", "check", str(tmp_path)])

    assert result.exit_code == 2
    assert result.stderr.replace(tmp_path.name, "SET").splitlines() == [
        (
            "This file cannot be read as TOML: very many brackets stand inside one "
            "another.  [policy-not-toml]"
        ),
        f"  where: SET/{name}",
        "  mend:  close each bracket where its list or table ends",
    ]


@pytest.mark.parametrize(
    "raw",
    [
        HEAD.encode("latin-1"),
        HEAD.encode("utf-16"),
        HEAD.replace("é", "e").encode("utf-16-le"),
        b"\x7fELF\x00\x01",
    ],
)
def test_a_file_that_is_not_utf_8_is_told(tmp_path: Path, raw: bytes) -> None:
    (tmp_path / "set.toml").write_bytes(raw)

    assert refused(tmp_path)[:3] == [
        "This file is not a text in UTF-8.  [policy-not-utf-8]",
        "  where: SET/set.toml",
        "  mend:  open it in a text editor and save it as UTF-8",
    ]


def test_a_mark_at_the_beginning_changes_nothing(tmp_path: Path) -> None:
    plain, marked = tmp_path / "plain", tmp_path / "marked"
    for folder in (plain, marked):
        folder.mkdir()
        written(folder)
    raw = (plain / "set.toml").read_bytes()
    (marked / "set.toml").write_bytes(codecs.BOM_UTF8 + raw)

    policy = load_policy(str(marked))

    assert policy.title == "Café"
    assert policy.digest == load_policy(str(plain)).digest
    assert policy_from_texts(set_texts(str(marked))).digest == policy.digest
