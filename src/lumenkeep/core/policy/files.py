"""Find a policy set on disk and read it: the shipped ones by name, others by folder."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from lumenkeep.core.policy.file_text import file_text, tables_of
from lumenkeep.core.policy.layers import policy_of
from lumenkeep.core.policy.texts import SetTexts, files_in, is_procedure, stamps_in
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
Layers = tuple[SetTexts, ...]
"""The texts of a set and of those it extends, the lowest first."""


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
    return _loaded(folder, above)[0]


def _loaded(folder: Path, above: tuple[Path, ...]) -> tuple[Policy, Layers]:
    stamp = stamps_in(folder)
    tables, faults, own = _parsed(folder, stamp)
    base, below, more = _base(tables, folder, above)
    layers = (*below, own)
    return _assembled(folder, stamp, layers, base, (*faults, *more)), layers


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


@lru_cache(maxsize=64)
def _parsed(
    folder: Path, stamp: tuple[tuple[str, int, int], ...]
) -> tuple[dict[str, dict[str, object]], tuple[Fault, ...], SetTexts]:
    """Return the tables of each file, what is wrong, and the texts that can be read.

    A procedure file is read by the engine of asepsis.
    """
    del stamp
    tables, texts, faults = {}, {}, []
    for name, path in files_in(folder):
        where = f"{folder.name}/{name}"
        text = file_text(path, where)
        if isinstance(text, Fault):
            faults.append(text)
            continue
        held = {} if is_procedure(name) else tables_of(text, where)
        if isinstance(held, Fault):
            faults.append(held)
            continue
        texts[name] = text
        if not is_procedure(name):
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
    return tables, tuple(faults), SetTexts.of(folder.name, texts)


@lru_cache(maxsize=64)
def _assembled(
    folder: Path,
    stamp: tuple[tuple[str, int, int], ...],
    layers: Layers,
    base: Policy | None,
    faults: tuple[Fault, ...],
) -> Policy:
    del folder, stamp  # a copy of a set elsewhere is another policy
    return policy_of(layers, base, shipped_world(), faults)


def shipped_world() -> World:
    """Return what is so of the world, as shipped."""
    folder = SHIPPED_FOLDER / WORLD_SET
    return _world(folder, stamps_in(folder))


def world_bounds() -> Mapping[str, Bound]:
    """Return the bounds of the world by name, for what is read under no policy."""
    return shipped_world().bounds


@lru_cache(maxsize=4)
def _world(folder: Path, stamp: tuple[tuple[str, int, int], ...]) -> World:
    tables, _, texts = _parsed(folder, stamp)
    return read_world(tables, folder.name, texts.of_procedures)


def _base(
    tables: dict[str, dict[str, object]], folder: Path, above: tuple[Path, ...]
) -> tuple[Policy | None, Layers, tuple[Fault, ...]]:
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
            return None, (), (fault,)
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
        base, layers = _loaded(below, (*above, folder))
        return base, layers, ()
    return None, (), ()
