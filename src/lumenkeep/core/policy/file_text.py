"""Read one file of a policy set as text, or say in words why it cannot be read."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

import tomli

from lumenkeep.errors import Fault

if TYPE_CHECKING:
    from pathlib import Path

NO_TEXT = b"\0"
"""A byte that no UTF-8 text holds, and every UTF-16 text of plain letters does."""
MARK = "utf-8-sig"
"""UTF-8, with or without the mark that some editors write at its beginning."""


def file_text(path: Path, where: str) -> str | Fault:
    """Return the text of a file of a set; a fault in words where there is none.

    Parameters
    ----------
    path
        The file.
    where
        What messages call it.
    """
    try:
        raw = path.read_bytes() if path.is_file() else None
    except OSError:
        raw = None
    return _no_file(path, where) if raw is None else text_of(raw, where)


def text_of(raw: bytes, where: str) -> str | Fault:
    """Return the text of a file, without a mark at its beginning; or a fault."""
    try:
        if NO_TEXT not in raw:
            return raw.decode(MARK)
    except UnicodeDecodeError:
        pass
    return Fault(
        "policy-not-utf-8",
        "This file is not a text in UTF-8.",
        where,
        "open it in a text editor and save it as UTF-8",
    )


# A set is read anew whenever one file of it changes; the others are as they were.
@lru_cache(maxsize=256)
def parsed(text: str) -> dict[str, Any]:
    """Return what a file of a set holds; for reading, never to be changed.

    Raises
    ------
    tomli.TOMLDecodeError
        As `tomli.loads`: `tables_of` says the same in words.
    """
    return tomli.loads(text)


def tables_of(text: str, where: str) -> dict[str, Any] | Fault:
    """Return what a file of a set holds, or what is wrong with how it is written."""
    try:
        return parsed(text)
    except RecursionError:
        why = "very many brackets stand inside one another"
        mend = "close each bracket where its list or table ends"
    except tomli.TOMLDecodeError as error:
        why = str(error)
        mend = "mend the line named; texts stand between quotes"
    what = f"This file cannot be read as TOML: {why}."
    return Fault("policy-not-toml", what, where, mend)


def _no_file(path: Path, where: str) -> Fault:
    """Return what stands in the place of a file: a folder, a link that leads nowhere."""
    if path.is_symlink():
        what = "This is a link that leads to no file."
        mend = "put the file itself here, or take the link out"
    elif path.is_dir():
        what = "This is a folder, and a file is looked for under that name."
        mend = "take '.toml' out of the folder's name, or move it away"
    else:
        what = "This file cannot be opened."
        mend = "see that it is a plain file, and that you may read it"
    return Fault("policy-not-a-file", what, where, mend)
