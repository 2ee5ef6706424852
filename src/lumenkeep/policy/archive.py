"""Keep a policy set as text and read it again later, without its folder.

What was charted names the version it was charted under. That version must be found
again when the folder has long changed, the sets it extends included.
"""

from __future__ import annotations

import hashlib
import tomllib
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from lumenkeep.policy.files import SHIPPED_FOLDER, with_procedures
from lumenkeep.policy.read import SetFiles, read_policy
from lumenkeep.policy.texts import SetTexts, files_in, is_procedure

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.policy.policy import Policy

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
            folder.name,
            tuple(
                (name, path.read_bytes().decode("utf-8"))
                for name, path in files_in(folder)
            ),
        )
        layers.append(texts)
        beside, wanted = folder, _extends(texts)
    return tuple(reversed(layers))


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
    *below, top = layers
    base = _read(tuple(below)) if below else None
    digest = hashlib.sha256()
    tables = {}
    for name, text in top.files:
        digest.update(name.encode() + b"\0" + text.encode("utf-8") + b"\0")
        if not is_procedure(name):
            tables[name] = tomllib.loads(text)
    if base is not None:
        digest.update(base.digest.encode())
    files = SetFiles(top.name, tables, digest.hexdigest())
    own = SetTexts(top.name, top.procedures)
    return with_procedures(read_policy(files, base), own, base)


def _extends(texts: SetTexts) -> str:
    for _, text in texts.rules:
        named = tomllib.loads(text).get("set", {}).get("extends")
        if named:
            return str(named)
    return ""
