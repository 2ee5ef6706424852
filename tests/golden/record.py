"""The record that is kept in the repository: name, size and digest of every file.

A few small files are kept whole beside it, so that a change of an address, a code or a
digest is read where it is reviewed.
"""

from __future__ import annotations

import hashlib
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

KEPT = Path(__file__).parent / "record"
LIST = KEPT / "record.txt"
WHOLE = (
    "addresses.txt",
    "error-codes.txt",
    "policies.txt",
    "commands.txt",
    "pages-by-route.txt",
)
HEAD = "# part/name size sha256; a test holds the part quick, the others are written by hand\n"


@dataclass(frozen=True)
class Kept:
    """What is kept of a file that was written."""

    size: int
    digest: str


def listed(folder: Path) -> dict[str, Kept]:
    """Return what is to be kept of each file in a folder, by its name from there."""
    return {
        path.relative_to(folder).as_posix(): Kept(
            path.stat().st_size, hashlib.sha256(path.read_bytes()).hexdigest()
        )
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def read_record(part: str) -> dict[str, Kept]:
    """Return what is kept of a part, by name within it."""
    found = {}
    for line in LIST.read_text("utf-8").splitlines():
        if line.startswith(f"{part}/"):
            name, size, digest = line.removeprefix(f"{part}/").rsplit(" ", 2)
            found[name] = Kept(int(size), digest)
    return found


def keep_record(folder: Path) -> None:
    """Keep what a folder holds; a part that was not written stays as it was."""
    now = listed(folder)
    parts = {name.partition("/")[0] for name in now}
    old = LIST.read_text("utf-8").splitlines()[1:] if LIST.exists() else []
    lines = [line for line in old if line.partition("/")[0] not in parts]
    lines += [f"{name} {kept.size} {kept.digest}" for name, kept in now.items()]
    KEPT.mkdir(exist_ok=True)
    LIST.write_text(HEAD + "".join(f"{line}\n" for line in sorted(lines)), "utf-8")
    for name in WHOLE:
        if (source := folder / "quick" / name).exists():
            shutil.copyfile(source, KEPT / name)


def differences(was: Mapping[str, Kept], now: Mapping[str, Kept]) -> Iterator[str]:
    """Yield a line for each file that is other than it was, is new, or is gone."""
    for name in sorted({*was, *now}):
        if name not in now:
            yield f"gone     {name}"
        elif name not in was:
            yield f"new      {name}"
        elif was[name] != now[name]:
            yield f"differs  {name} ({was[name].size} bytes, now {now[name].size})"
