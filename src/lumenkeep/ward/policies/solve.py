"""Prove or compare policies: the part of long work that a worker runs.

The solver may take a processor for itself and is not made for threads, so it never
runs in the server that the wards look at. On the way it says each property as soon as
it is decided, or what of a comparison is worked on.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from lumenkeep.core.comparing.compare_policies import compare_policies
from lumenkeep.core.policy.archive import SetTexts, policy_from_texts
from lumenkeep.core.policy.bounds import at_any_age
from lumenkeep.core.policy.files import world_bounds
from lumenkeep.core.proving.prove_policy import prove_policy
from lumenkeep.files.case.case_file import case_from_mapping
from lumenkeep.files.comparison import comparison_as_json
from lumenkeep.files.proof import proof_as_json
from lumenkeep.text.policy.said_of_proof import said_of

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lumenkeep.core.model import Case
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.bounds import Bound
    from lumenkeep.core.policy.solver import Part

    Say = Callable[[dict[str, Any]], None]


def answer(question: dict[str, Any], say: Say) -> dict[str, Any]:
    """Return the proof of ``policy``, or its comparison with ``other``, on ``day``."""
    policy, day = _policy(question["policy"]), date.fromisoformat(question["day"])
    if question["what"] == "prove":
        proof = prove_policy(policy, day, _reader(), lambda part: say(_told(part)))
        return proof_as_json(proof, said_of(policy, day))
    other = _policy(question["other"])
    reader = _reader(other.bounds, policy.bounds)
    found = compare_policies(
        other, policy, day, reader, lambda what: say({"part": {"name": what}})
    )
    return comparison_as_json(found)


def _policy(layers: list[dict[str, Any]]) -> Policy:
    return policy_from_texts([SetTexts.of(one["name"], one["files"]) for one in layers])


def _reader(*restated: Mapping[str, Bound]) -> Callable[[Any], Case]:
    bounds = at_any_age(world_bounds(), *restated)
    return lambda case: case_from_mapping(case, "example child", bounds=bounds)


def _told(part: Part) -> dict[str, Any]:
    said = {"name": part.name, "proved": part.holds, "seconds": part.seconds}
    return {"part": said}
