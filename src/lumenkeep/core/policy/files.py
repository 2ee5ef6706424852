"""Find a policy set on disk and read it: the shipped ones by name, others by folder."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from lumenkeep.core.policy.file_text import file_text, tables_of
from lumenkeep.core.policy.read import SetFiles, read_policy
from lumenkeep.core.policy.texts import SetTexts, files_in, is_procedure
from lumenkeep.core.policy.world import World, read_world
from lumenkeep.errors import Fault, PolicyError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.policy.bounds import Bound
    from lumenkeep.core.policy.policy import Policy

SHIPPED_FOLDER = Path(__file__).resolve().parents[2] / "policies"
DEFAULT_SET = "quillmere"
WORLD_SET = "published"
"""The shipped set that says what is so of the world."""


def shipped_sets() -> list[str]:
    """Return the names of the shipped sets that a ward can work with."""
    return sorted(
        folder.name
        for folder in SHIPPED_FOLDER.iterdir()
        if (folder / "set.toml").is_file() and not load_policy(folder.name).abstract
    )


def load_policy(name: str) -> Policy:
    """Return the policy set ``name``: a shipped one, or the path of a folder.

    Raises
    ------
    PolicyError
        Holding every fault found: in this set, or in the one it extends.
    """
    return _load(_folder(name, Path.cwd()), ())


def _load(folder: Path, above: tuple[Path, ...]) -> Policy:
    """Return the set in ``folder``; what it extends is looked up anew each time."""
    stamp = _stamp(folder)
    tables, faults, _, _ = _parsed(folder, stamp)
    base, more = _base(tables, folder, above)
    return _assembled(folder, stamp, base, (*faults, *more))


def _folder(name: str, beside: Path) -> Path:
    """Return the folder of a set; a fault, not an OSError, for any name at all."""
    is_plain = "/" not in name and name not in ("", ".", "..")
    for found in (SHIPPED_FOLDER / name if is_plain else None, beside / name):
        try:
            if found is not None and found.is_dir():
                return found.resolve()
        except (OSError, ValueError):
            continue
    known = ", ".join(sorted(f.name for f in SHIPPED_FOLDER.iterdir() if f.is_dir()))
    raise PolicyError(
        [
            Fault(
                "policy-not-found",
                f"There is no policy set '{name}'.",
                name,
                f"name a folder that holds one, or a shipped set: {known}",
            )
        ]
    )


def _stamp(folder: Path) -> tuple[tuple[str, int, int], ...]:
    """Return what changes when a file of the set changes, so a reload sees it."""
    return tuple((name, *_stamp_of(path)) for name, path in files_in(folder))


def _stamp_of(path: Path) -> tuple[int, int]:
    try:
        return path.stat().st_mtime_ns, path.stat().st_size
    except OSError:  # a link that leads nowhere: told when the file is read
        return 0, 0


@lru_cache(maxsize=64)
def _parsed(
    folder: Path, stamp: tuple[tuple[str, int, int], ...]
) -> tuple[dict[str, dict[str, object]], tuple[Fault, ...], bytes, SetTexts]:
    """Return the tables of each file, what is wrong, all they hold, and the procedures.

    A procedure file counts for the digest here; it is read by the engine of asepsis.
    """
    del stamp
    tables, faults = {}, []
    procedures = {}
    content = b""
    for name, path in files_in(folder):
        where = f"{folder.name}/{name}"
        text = file_text(path, where)
        if isinstance(text, Fault):
            faults.append(text)
            continue
        content += name.encode() + b"\0" + text.encode("utf-8") + b"\0"
        if is_procedure(name):
            procedures[name] = text
            continue
        held = tables_of(text, where)
        if isinstance(held, Fault):
            faults.append(held)
        else:
            tables[name] = held
    if not tables and not faults:
        raise PolicyError(
            [
                Fault(
                    "policy-empty",
                    "The folder holds no .toml file.",
                    folder.name,
                    "add set.toml with a [set] table",
                )
            ]
        )
    return tables, tuple(faults), content, SetTexts.of(folder.name, procedures)


@lru_cache(maxsize=64)
def _assembled(
    folder: Path,
    stamp: tuple[tuple[str, int, int], ...],
    base: Policy | None,
    faults: tuple[Fault, ...],
) -> Policy:
    tables, _, content, procedures = _parsed(folder, stamp)
    digest = hashlib.sha256(content)
    if base is not None:
        digest.update(base.digest.encode())
    files = SetFiles(folder.name, tables, digest.hexdigest(), faults)
    return with_procedures(read_policy(files, base, shipped_world()), procedures, base)


def shipped_world() -> World:
    """Return what is so of the world, as shipped."""
    folder = SHIPPED_FOLDER / WORLD_SET
    return _world(folder, _stamp(folder))


def world_bounds() -> Mapping[str, Bound]:
    """Return the bounds of the world by name, for what is read under no policy."""
    return shipped_world().bounds


@lru_cache(maxsize=4)
def _world(folder: Path, stamp: tuple[tuple[str, int, int], ...]) -> World:
    tables, _, _, procedures = _parsed(folder, stamp)
    return read_world(tables, folder.name, procedures)


def with_procedures(policy: Policy, own: SetTexts, base: Policy | None) -> Policy:
    """Return a policy with its own procedure files on top of those it extends."""
    below = base.procedures if base is not None else ()
    return replace(policy, procedures=(*below, own))


def _base(
    tables: dict[str, dict[str, object]], folder: Path, above: tuple[Path, ...]
) -> tuple[Policy | None, tuple[Fault, ...]]:
    for table in tables.values():
        meta = table.get("set")
        extends = meta.get("extends") if isinstance(meta, dict) else None
        if extends is None:
            continue
        if not isinstance(extends, str):
            fault = Fault(
                "policy-wrong-kind",
                "'extends' is not a text.",
                f"{folder.name}/set.toml: set.extends",
                'name one set, as in extends = "published"',
            )
            return None, (fault,)
        below = _folder(extends, folder)
        if below in above or below == folder:
            raise PolicyError(
                [
                    Fault(
                        "policy-extends-itself",
                        "The set extends itself, perhaps by way of another.",
                        f"{folder.name}/set.toml: set.extends",
                        "name a set that does not lead back here",
                    )
                ]
            )
        return _load(below, (*above, folder)), ()
    return None, ()
