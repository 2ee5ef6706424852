"""Read the procedures that a policy set carries, with those of the sets it extends."""

from __future__ import annotations

import hashlib
import tomllib
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from lumenkeep.asepsis.read import ProcedureFiles, read_bedside
from lumenkeep.errors import Fault
from lumenkeep.policy.files import SHIPPED_FOLDER, load_policy

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.asepsis.procedure import Bedside
    from lumenkeep.policy import Policy
    from lumenkeep.policy.texts import SetTexts


@lru_cache(maxsize=16)
def bedside_of(policy: Policy) -> Bedside:
    """Return what a policy says about procedures.

    A version recorded before procedures were part of a set has none; it takes those
    that are shipped now under the names of the sets it was made of.

    Raises
    ------
    PolicyError
        Holding every fault of the procedure files.
    """
    return read_bedside([_files(texts) for texts in _layers(policy)], policy)


def procedures_digest(policy: Policy) -> str:
    """Return what changes when a procedure of a policy changes."""
    digest = hashlib.sha256()
    for layer in _layers(policy):
        for name, text in layer.procedures:
            digest.update(name.encode() + b"\0" + text.encode() + b"\0")
    return digest.hexdigest()


def _layers(policy: Policy) -> Iterable[SetTexts]:
    if any(layer.files for layer in policy.procedures):
        return policy.procedures
    return [
        texts
        for layer in policy.procedures
        if (SHIPPED_FOLDER / layer.name).is_dir()
        for texts in load_policy(layer.name).procedures
        if texts.name == layer.name
    ]


def _files(texts: SetTexts) -> ProcedureFiles:
    tables: dict[str, dict[str, Any]] = {}
    faults: list[Fault] = []
    for name, text in texts.procedures:
        try:
            tables[name] = tomllib.loads(text)
        except tomllib.TOMLDecodeError as error:
            faults.append(
                Fault(
                    "policy-not-toml",
                    f"This file cannot be read as TOML: {error}.",
                    f"{texts.name}/{name}",
                    "mend the line named; texts stand between quotes",
                )
            )
    return ProcedureFiles(texts.name, tables, tuple(faults))
