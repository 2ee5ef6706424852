"""Put a policy together from the texts of the sets it is made of.

Reading the rules is what takes time. What the files of the rules state is kept by their
text, so that a set whose procedures alone have changed, or that lies over one read
before, reads no more than what is new in it.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from lumenkeep.core.policy.file_text import parsed
from lumenkeep.core.policy.read import SetFiles, read_policy

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.policy.policy import Policy
    from lumenkeep.core.policy.texts import SetTexts
    from lumenkeep.core.policy.world import World
    from lumenkeep.errors import Fault

Rules = tuple[str, tuple[tuple[str, str], ...]]
"""Name of a set, and name and text of each of its files that is no procedure."""


def policy_of(
    layers: Sequence[SetTexts],
    base: Policy | None,
    world: World,
    faults: tuple[Fault, ...] = (),
) -> Policy:
    """Return the policy that the last of some sets states on top of those before it.

    Parameters
    ----------
    layers
        From the lowest set up; of the last one, only files that can be read as TOML.
    base
        What all but the last state; None where there is but one.
    world
        What is so whoever writes the rules.
    faults
        What already went wrong in reading the last set.

    Raises
    ------
    PolicyError
        Holding every fault of the last set.
    """
    rules = tuple((one.name, one.rules) for one in layers)
    below = base.procedures if base is not None else ()
    return replace(
        _rules_of(rules, world, faults),
        digest=_digest(layers[-1], base),
        base=base,
        procedures=(*below, layers[-1].of_procedures),
    )


@lru_cache(maxsize=128)
def _rules_of(
    layers: tuple[Rules, ...], world: World, faults: tuple[Fault, ...] = ()
) -> Policy:
    """Return what the rules state, without the procedures and without a digest."""
    *below, (name, files) = layers
    base = _rules_of(tuple(below), world) if below else None
    tables = {file: parsed(text) for file, text in files}
    return read_policy(SetFiles(name, tables, "", faults), base, world)


def _digest(own: SetTexts, base: Policy | None) -> str:
    digest = hashlib.sha256()
    for name, text in own.files:
        digest.update(name.encode() + b"\0" + text.encode("utf-8") + b"\0")
    if base is not None:
        digest.update(base.digest.encode())
    return digest.hexdigest()
