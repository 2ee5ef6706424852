"""Keep worked-out answers as small files in a folder: a cache, to be thrown away freely.

The key says all that an answer depends on, so that nothing kept is ever out of date.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

MOST_FILES = 400
"""Beyond these, what was kept longest ago is forgotten."""


@dataclass(frozen=True, slots=True)
class KeptInFolder:
    """Answers kept in a folder, which need not exist yet.

    A folder that cannot be written or read is as good as none: all is worked out anew.
    """

    folder: Path

    def get(self, key: str) -> dict[str, Any] | None:
        """Return what was kept under a key, None if nothing can be read."""
        with suppress(OSError, ValueError):
            found = json.loads(self._path(key).read_text("utf-8"))
            return found if isinstance(found, dict) else None
        return None

    def keep(self, key: str, found: dict[str, Any]) -> None:
        """Keep something under a key; whoever reads meanwhile sees all of it or none."""
        with suppress(OSError):
            self.folder.mkdir(parents=True, exist_ok=True)
            whole = self._path(key).with_suffix(f".{os.getpid()}")
            whole.write_text(json.dumps(found), "utf-8")
            whole.replace(self._path(key))
            self._forget()

    def _path(self, key: str) -> Path:
        return self.folder / f"{key}.json"

    def _forget(self) -> None:
        kept = sorted(self.folder.glob("*.json"), key=lambda path: path.stat().st_mtime)
        for path in kept[:-MOST_FILES]:
            path.unlink(missing_ok=True)
