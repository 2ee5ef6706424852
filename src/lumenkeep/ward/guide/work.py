"""Work ways back out in a process of its own: ``python -m lumenkeep.ward.guide.work``.

It takes a processor for seconds, so it never runs in the server that the wards look
at. The question comes in as JSON, the answer goes out as JSON lines: how far it is,
then what was found, and at last what second slips ask.
"""

from __future__ import annotations

import json
import os
import sys
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.archive import SetTexts, policy_from_texts
from lumenkeep.core.recovery.ways import BranchKey, work_out_ways
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.errors import LumenkeepError

if TYPE_CHECKING:
    from collections.abc import Iterator

POLITE = 3


def answers(asked: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Yield how far the work is, what was found, and what second slips ask."""
    layers = [SetTexts.of(one["name"], one["files"]) for one in asked["policy"]]
    bedside = bedside_of(policy_from_texts(layers))
    question = BranchKey(**asked["question"])
    yield from work_out_ways(question, bedside, second=asked["second"])


def main() -> None:
    """Answer the one question on standard input, and let the wards go first."""
    os.nice(POLITE)
    try:
        for said in answers(json.load(sys.stdin)):
            sys.stdout.write(json.dumps(said) + "\n")
            sys.stdout.flush()
    except LumenkeepError as error:
        sys.stdout.write(json.dumps({"failed": str(error)}) + "\n")


if __name__ == "__main__":
    main()
