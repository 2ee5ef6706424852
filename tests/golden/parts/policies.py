"""Every shipped set: its digest, the digests of its files, and the whole in sentences."""

from __future__ import annotations

import hashlib
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from tests.golden.from_the_house import PACKAGE, load_policy, shipped_sets

if TYPE_CHECKING:
    from tests.golden.folder import Folder


def write(folder: Folder) -> None:
    """Write the digest of each set, and of each file that is data of the rules."""
    lines = []
    # The set to build on is shipped, but not offered to be chosen.
    for name in sorted({*shipped_sets(), "published"}):
        policy = load_policy(name)
        lines.append(f"set {policy.id} {policy.version} {policy.digest}")
    lines += sorted(_files())
    folder.text("policies.txt", "\n".join(lines))


def _files() -> list[str]:
    """Return a line for each file of data, by its last folders, wherever they lie."""
    spec = find_spec(PACKAGE)
    assert spec
    assert spec.submodule_search_locations
    root = Path(spec.submodule_search_locations[0])
    return [
        f"file {'/'.join(path.parts[-3:])} {hashlib.sha256(path.read_bytes()).hexdigest()}"
        for path in root.rglob("*.toml")
    ]
