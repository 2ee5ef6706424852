"""Keep a policy set as text and read it again later, without its folder.

What was charted names the version it was charted under. That version must be found
again when the folder has long changed, the sets it extends included.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.file_text import MARK, parsed
from lumenkeep.core.policy.files import (
    SHIPPED_FOLDER,
    WORLD_SET,
    shipped_world,
)
from lumenkeep.core.policy.layers import policy_of
from lumenkeep.core.policy.texts import SetTexts, files_in
from lumenkeep.core.policy.world import World, read_world

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.policy.policy import Policy

__all__ = ["SetTexts", "policy_from_texts", "set_texts"]


def set_texts(name: str) -> tuple[SetTexts, ...]:
    """Return the texts of a set that loads, from the lowest set it extends up to it.

    Parameters
    ----------
    name
        A shipped set, or the path of a folder, as for `load_policy`.
    """
    layers: list[SetTexts] = []
    beside, wanted = Path.cwd(), name
    while wanted:
        shipped = SHIPPED_FOLDER / wanted
        is_shipped = "/" not in wanted and shipped.is_dir()
        folder = shipped if is_shipped else (beside / wanted).resolve()
        texts = SetTexts(
            _kept_as(folder, is_shipped=is_shipped),
            tuple(
                (name, path.read_bytes().decode(MARK))
                for name, path in files_in(folder)
            ),
        )
        layers.append(texts)
        beside, wanted = folder, _extends(texts)
    return tuple(reversed(layers))


def _kept_as(folder: Path, *, is_shipped: bool) -> str:
    """Return the name a folder is kept under: a copy never as what is so of the world.

    By that name the shipped set is known again, which others are measured against.
    """
    if folder.name == WORLD_SET and not is_shipped:
        return f"{folder.parent.name}/{folder.name}"
    return folder.name


def policy_from_texts(layers: Sequence[SetTexts]) -> Policy:
    """Return the policy that `set_texts` kept, with the digest it had.

    Raises
    ------
    PolicyError
        The texts no longer make a policy: a newer version reads them differently.
    """
    return _read(tuple(layers))


@lru_cache(maxsize=64)
def _read(layers: tuple[SetTexts, ...]) -> Policy:
    below = layers[:-1]
    base = _read(below) if below else None
    return policy_of(layers, base, _world_of(layers[0]))


def _tables(texts: SetTexts) -> dict[str, dict[str, Any]]:
    return {name: parsed(text) for name, text in texts.rules}


@lru_cache(maxsize=64)
def _world_of(lowest: SetTexts) -> World:
    """Return the world of the day the set was kept; today's if it kept none."""
    if lowest.name == WORLD_SET:
        kept = read_world(_tables(lowest), lowest.name, lowest.of_procedures)
        if kept.bounds:
            return kept
    return shipped_world()


def _extends(texts: SetTexts) -> str:
    for _, text in texts.rules:
        named = parsed(text).get("set", {}).get("extends")
        if named:
            return str(named)
    return ""
