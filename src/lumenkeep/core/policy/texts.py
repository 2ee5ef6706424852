"""The files of a policy set as text, those of its procedures among them."""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

PROCEDURES = "procedures/"
"""How the name of a procedure file begins."""
ENDING = ".toml"


@dataclass(frozen=True, slots=True)
class SetTexts:
    """The files of one set as they stood: name of its folder, and name and text.

    Attributes
    ----------
    files
        Sorted by name; those of the procedures are named with their folder.
    """

    name: str
    files: tuple[tuple[str, str], ...]

    @classmethod
    def of(cls, name: str, files: Mapping[str, str]) -> SetTexts:
        """Return the texts in reading order."""
        return cls(name, tuple(sorted(files.items())))

    @property
    def rules(self) -> tuple[tuple[str, str], ...]:
        """The files that say whom to give what; without the procedures."""
        return tuple(pair for pair in self.files if not is_procedure(pair[0]))

    @property
    def of_procedures(self) -> SetTexts:
        """The same set with the files of its procedures alone."""
        return SetTexts(self.name, self.procedures)

    @property
    def procedures(self) -> tuple[tuple[str, str], ...]:
        """The files of the procedures."""
        return tuple(pair for pair in self.files if is_procedure(pair[0]))


def is_procedure(name: str) -> bool:
    """Return whether a file of a set is one of its procedures, by its name."""
    return name.startswith(PROCEDURES)


def files_in(folder: Path) -> list[tuple[str, Path]]:
    """Return name and path of each file of the set in a folder, sorted by name."""
    return [(name, folder / name) for name, _, _ in stamps_in(folder)]


def stamps_in(folder: Path) -> tuple[tuple[str, int, int], ...]:
    """Return name, time of change (ns) and size (bytes) of each file, by name."""
    rules = _stamps(folder, "")
    return tuple(sorted([*rules, *_stamps(folder / PROCEDURES, PROCEDURES)]))


def _stamps(folder: Path, before: str) -> list[tuple[str, int, int]]:
    """Return the stamps of what ends like a file of a set; none without the folder."""
    try:
        with os.scandir(folder) as found:
            return [
                (before + one.name, *_stamp(one))
                for one in found
                if one.name.endswith(ENDING)
            ]
    except OSError:
        return []


def _stamp(file: os.DirEntry[str]) -> tuple[int, int]:
    try:
        told = file.stat()
    except OSError:  # a link that leads nowhere: told when the file is read
        return 0, 0
    return told.st_mtime_ns, told.st_size
