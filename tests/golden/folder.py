"""The folder that is written: texts under names, with what chance made taken out."""

from __future__ import annotations

import hashlib
import json
import re
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pathlib import Path

LONGEST_NAME = 140
_UUID = re.compile(
    r"(?<![0-9a-z])[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}(?![0-9a-z])"
)
_KEY = re.compile(r"(?<![0-9a-z])[cdl]-[0-9a-f]{10,}(?![0-9a-z])")
# A name of a static file that carries a hash of its content, as in "look.0123456789ab.js".
_HASHED = re.compile(r"(/static/[\w/.-]+)\.[0-9a-f]{12}(\.\w+)")


class Folder:
    """Where everything is written, each file once.

    Attributes
    ----------
    known
        Keys of children and lines that are told by the seed; any other is chance.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.known: frozenset[str] = frozenset()
        self.replaced: list[tuple[str, str]] = []
        self._written: set[str] = set()

    def text(self, name: str, text: str) -> None:
        """Write a text; it ends in one end of line."""
        name = re.sub(r"<(\w+) (\d+)>", r"\1-\2", self.without_chance(name))
        assert name not in self._written, f"{name} is written twice"
        self._written.add(name)
        target = self.path / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(self.without_chance(text).rstrip("\n") + "\n", "utf-8")

    def json(self, name: str, value: Any) -> None:
        """Write a value as JSON; the order of a table's keys means nothing."""
        said = json.dumps(value, indent=1, ensure_ascii=False, sort_keys=True)
        self.text(name, said)

    def without_chance(self, text: str) -> str:
        """Return a text with keys and folders of this run named by their order."""
        for old, new in self.replaced:
            text = text.replace(old, new)
        text = _HASHED.sub(r"\1.<hash>\2", text)
        text = _numbered(_UUID, "uuid", text, frozenset())
        return _numbered(_KEY, "key", text, self.known)


def _numbered(
    found: re.Pattern[str], word: str, text: str, known: frozenset[str]
) -> str:
    """Return a text in which the keys that are not known are numbered."""
    seen: dict[str, str] = {}

    def name(match: re.Match[str]) -> str:
        key = match[0]
        return (
            key if key in known else seen.setdefault(key, f"<{word} {len(seen) + 1}>")
        )

    return found.sub(name, text)


def slug(words: str) -> str:
    """Return words as the name of a file; a long one ends in its digest."""
    name = re.sub(r"[^\w.=-]+", "_", words).strip("_") or "root"
    if len(name) <= LONGEST_NAME:
        return name
    return f"{name[:LONGEST_NAME]}_{hashlib.sha256(words.encode()).hexdigest()[:8]}"
