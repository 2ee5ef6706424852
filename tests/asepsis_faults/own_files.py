"""A ward's own procedure files: those published, changed by hand as a person would.

Once as a copy of ``published`` that is changed, once as a file of its own over the
published set: both must be held to what is published.
"""

from __future__ import annotations

import re
import shutil
from typing import TYPE_CHECKING

from tests.policy.own_set import OwnSet

from lumenkeep.core.policy.files import SHIPPED_FOLDER

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from lumenkeep.core.policy import Policy

PROCEDURES = "procedures"
TABLE = re.compile(r"(?m)^(?=\[\[)")
Edit = tuple[str, "Callable[[str], str]"]
"""A file of the procedures, and what is done to its text."""


def drop(file: str, *ids: str) -> Edit:
    """Return an edit that takes out every table with one of some ids."""

    def edit(text: str) -> str:
        blocks = TABLE.split(text)
        left = [one for one in blocks if not any(_has(one, id_) for id_ in ids)]
        assert len(blocks) - len(left) >= len(ids), ids
        return "".join(left)

    return file, edit


def within(file: str, id_: str, find: str, put: str) -> Edit:
    """Return an edit that puts one text in another's place, in the tables of an id."""

    def edit(text: str) -> str:
        blocks = TABLE.split(text)
        assert any(_has(one, id_) and find in one for one in blocks), (id_, find)
        return "".join(
            one.replace(find, put) if _has(one, id_) else one for one in blocks
        )

    return file, edit


def swap(file: str, find: str, put: str) -> Edit:
    """Return an edit that puts one text in another's place, where it stands once."""

    def edit(text: str) -> str:
        assert text.count(find) == 1, f"{find!r}: {text.count(find)} times"
        return text.replace(find, put)

    return file, edit


def before(file: str, id_: str, other: str) -> Edit:
    """Return an edit that puts the tables of one id before the first of another."""

    def edit(text: str) -> str:
        blocks = TABLE.split(text)
        taken = [one for one in blocks if _has(one, id_)]
        rest = [one for one in blocks if not _has(one, id_)]
        place = next(n for n, one in enumerate(rest) if _has(one, other))
        return "".join((*rest[:place], *taken, *rest[place:]))

    return file, edit


def add(file: str, more: str) -> Edit:
    """Return an edit that puts text at the end of a file, or makes one."""
    return file, lambda text: text + more


def _has(block: str, id_: str) -> bool:
    return f'\nid = "{id_}"\n' in block


def copied(folder: Path, *edits: Edit, head: str = "") -> Policy:
    """Return a set that extends a changed copy of the published one.

    Parameters
    ----------
    head
        More of the set's own rules, as `[[loosened]]`.
    """
    own = OwnSet(folder)
    _make(folder / "published" / PROCEDURES, edits)
    return own.add("quillmere/zz-own.toml", head).read()


def laid_over(folder: Path, *edits: Edit, head: str = "") -> Policy:
    """Return a set that extends the shipped one, with changed files of its own."""
    own = OwnSet(folder)
    own.swap("quillmere/set.toml", '"../published"', '"published"')
    (folder / "quillmere" / PROCEDURES).mkdir()
    for file, _ in edits:
        shipped = SHIPPED_FOLDER / "published" / PROCEDURES / f"{file}.toml"
        if shipped.exists():
            shutil.copy(shipped, folder / "quillmere" / PROCEDURES)
    _make(folder / "quillmere" / PROCEDURES, edits)
    return own.add("quillmere/zz-own.toml", head).read()


def _make(folder: Path, edits: tuple[Edit, ...]) -> None:
    for file, edit in edits:
        path = folder / f"{file}.toml"
        text = path.read_text(encoding="utf-8") if path.exists() else ""
        after = edit(text)
        assert after != text, file
        path.write_text(after, encoding="utf-8")


def loosened(*ids: str) -> str:
    """Return `[[loosened]]` tables that name some ids openly."""
    return "".join(
        f'\n[[loosened]]\nid = "{id_}"\nbecause = "Our infection team does it otherwise."'
        '\nsource = "common-practice"\nhow = "common-practice"\n'
        for id_ in ids
    )
