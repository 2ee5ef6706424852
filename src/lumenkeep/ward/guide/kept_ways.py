"""Ways back that a worker works out, each branch's once."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from lumenkeep import __version__
from lumenkeep.core.policy.archive import set_texts
from lumenkeep.core.rehearsal.procedure_files import procedures_digest
from lumenkeep.ward.chart.models import PolicyVersion
from lumenkeep.ward.guide.records import WaysSoFar
from lumenkeep.ward.long_work import jobs

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.recovery.ways_of_branch import BranchKey

WAYS, SECOND = "ways", "second-slips"
"""What a guide waits for, and what it can begin without: each has a lane of its own."""
FORMAT = 5


class KeptWays:
    """The port of ways back: those that were worked out, or a job that does it."""

    def of(self, set_name: str, policy: Policy, question: BranchKey) -> WaysSoFar:
        """Return what there is, and begin to work it out where nothing is yet.

        What failed is told once; asked again, it is begun again. Second slips that
        failed are not tried again at every look.
        """
        key = key_of(policy, question)
        more = jobs.find(SECOND, key)
        if more is not None and more.done is not None:
            return WaysSoFar(1.0, more.done)
        first = jobs.ask(WAYS, key, lambda: _asked(set_name, policy, question))
        if first.done is None:
            if first.failed:
                jobs.forget(WAYS, key)
            return WaysSoFar(first.progress, None, first.failed, first.nobody)
        # Without second slips a guide is whole: a second slip means stop.
        if more is None:
            second = {"second": True}
            jobs.ask(SECOND, key, lambda: _asked(set_name, policy, question) | second)
        return WaysSoFar(1.0, first.done)


def key_of(policy: Policy, question: BranchKey) -> str:
    """Return the name under which a branch's ways back are kept."""
    parts = [
        FORMAT,
        __version__,
        procedures_digest(policy),
        policy.digest,
        asdict(question),
    ]
    return hashlib.sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()


def _asked(set_name: str, policy: Policy, question: BranchKey) -> dict[str, Any]:
    row = PolicyVersion.objects.filter(digest=policy.digest).first()
    layers = (
        row.files
        if row is not None and row.files
        else [
            {"name": layer.name, "files": dict(layer.files)}
            for layer in set_texts(set_name)
        ]
    )
    return {"policy": layers, "question": asdict(question), "second": False}
