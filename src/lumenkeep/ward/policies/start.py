"""Begin a draft: the hospital's own files on top of the version it starts from.

A set that came with Lumenkeep or lies in a folder is never rewritten: the draft
extends it and holds only what differs. A version that was itself made from a draft is
taken up again, so that layers do not pile up.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.policy.archive import SetTexts
from lumenkeep.core.policy.write import file_text

if TYPE_CHECKING:
    from lumenkeep.ward.versions.records import VersionRecord

OWN = "-own"
SET_FILE = "set.toml"
LAST_NUMBER = re.compile(r"(\d+)(\D*)$")


@dataclass(frozen=True, slots=True)
class Start:
    """What a draft begins with: its set's id, the layers below, and its own files."""

    name: str
    below: tuple[SetTexts, ...]
    files: Mapping[str, str]


def first_files(
    base: VersionRecord, title: str, taken: Collection[str], *, is_own: bool
) -> Start:
    """Return what a draft of a version begins with.

    Parameters
    ----------
    base
        The version it starts from.
    title
        What the set is called.
    taken
        Names of versions of the set that there are already.
    is_own
        Whether the version was itself made from a draft.
    """
    top = base.layers[-1]
    version = next_version(base.version)
    while version in taken:
        version = next_version(version)
    meta = _meta(top)
    if is_own:
        files = dict(top.files)
        name = next(n for n, text in top.rules if "set" in tomllib.loads(text))
        tables = tomllib.loads(files[name])
        tables["set"] |= {"title": title, "version": version}
        files[name] = file_text(tables)
        return Start(top.name, base.layers[:-1], files)
    own = own_set_id(base, is_own=False)
    table = {
        "id": own,
        "title": title,
        "version": version,
        "extends": top.name,
        "call": meta.get("call", ""),
    }
    return Start(own, base.layers, {SET_FILE: file_text({"set": table})})


def own_set_id(base: VersionRecord, *, is_own: bool) -> str:
    """Return the id of the set that a draft of a version makes."""
    return base.layers[-1].name if is_own else f"{base.set_id}{OWN}"


def next_version(version: str) -> str:
    """Return the name of the version after this one.

    Examples
    --------
    >>> next_version("2026.1"), next_version("first")
    ('2026.2', 'first.2')
    """
    found = LAST_NUMBER.search(version)
    if found is None:
        return f"{version}.2"
    number = int(found[1]) + 1
    return f"{version[: found.start()]}{number}{found[2]}"


def _meta(texts: SetTexts) -> Mapping[str, str]:
    for _, text in texts.rules:
        found = tomllib.loads(text).get("set")
        if isinstance(found, Mapping):
            return found
    return {}
