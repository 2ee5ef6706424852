"""Work ways back out: the part of long work that a worker runs.

It takes a processor for seconds, so it never runs in the server that the wards look at.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.archive import SetTexts, policy_from_texts
from lumenkeep.core.recovery.ways_of_branch import BranchKey, work_out_ways
from lumenkeep.core.rehearsal.procedure_files import bedside_of

if TYPE_CHECKING:
    from collections.abc import Callable


def answer(
    asked: dict[str, Any], say: Callable[[dict[str, Any]], None]
) -> dict[str, Any]:
    """Return the ways back of a branch, with what ``second`` slips ask if that is asked.

    Ways of equal cost may be chosen otherwise in another process, so what names acts
    comes from one.
    """
    layers = [SetTexts.of(one["name"], one["files"]) for one in asked["policy"]]
    bedside = bedside_of(policy_from_texts(layers))
    question = BranchKey(**asked["question"])
    whole: dict[str, Any] = {}
    for said in work_out_ways(question, bedside, second=asked["second"]):
        if "progress" in said:
            say(said)
        whole |= said.get("done", {}) | said.get("more", {})
    return whole
