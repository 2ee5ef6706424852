"""A set of a ward's own: a shipped one with its base, copied and changed by hand."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.files import SHIPPED_FOLDER

if TYPE_CHECKING:
    from pathlib import Path

    from lumenkeep.core.policy import Policy


class OwnSet:
    """Copies of ``published`` and of one shipped set, to be changed before reading."""

    def __init__(self, folder: Path, base: str = "quillmere") -> None:
        self.folder, self.base = folder, base
        for name in ("published", base):
            shutil.copytree(SHIPPED_FOLDER / name, folder / name)
        self.swap(
            f"{base}/set.toml", 'extends = "published"', 'extends = "../published"'
        )

    @property
    def path(self) -> str:
        """The folder to load."""
        return str(self.folder / self.base)

    def swap(self, file: str, find: str, put: str, times: int = 1) -> OwnSet:
        """Put one text in another's place, where it stands so often."""
        path = self.folder / file
        text = path.read_text(encoding="utf-8")
        assert text.count(find) == times, f"{find!r}: {text.count(find)} times"
        path.write_text(text.replace(find, put), encoding="utf-8")
        return self

    def add(self, file: str, text: str) -> OwnSet:
        """Put text at the end of a file."""
        path = self.folder / file
        before = path.read_text(encoding="utf-8") if path.exists() else ""
        path.write_text(before + text, encoding="utf-8")
        return self

    def later(self, file: str, number: str, day: str, value: int) -> OwnSet:
        """Write one more value of a number, for a day to come."""
        path = self.folder / file
        head, table = path.read_text(encoding="utf-8").split(f"[number.{number}]\n")
        dated = f'{{ from = {day}, value = {value}, source = "common-practice" }}, '
        table = table.replace("values = [", f"values = [{dated}", 1)
        path.write_text(f"{head}[number.{number}]\n{table}", encoding="utf-8")
        return self

    def read(self) -> Policy:
        """Return the set as it stands now."""
        return load_policy(self.path)
