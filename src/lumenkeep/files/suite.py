"""Write a policy's review suite as JSON values."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING, Any

from lumenkeep.files.answer import plan_as_json

if TYPE_CHECKING:
    from lumenkeep.core.proving.review_cases import Suite


def suite_as_json(suite: Suite) -> dict[str, Any]:
    """Return the answer to ``lumenkeep policy cases --json``."""
    wanted = ("verdict", "sentence", "until_known", "excluded", "questions", "rules")
    cases = []
    for one in suite.cases:
        answer = plan_as_json(one.plan, (), UTC)
        way, cover = one.plan.antiseptic, one.plan.dressing
        cases.append(
            {
                "case": one.case,
                "at": one.at,
                "shows": list(one.shows),
                "expected": {
                    **{key: answer[key] for key in wanted},
                    "agent": way.agent if way else None,
                    "dressing": cover.kind if cover else None,
                },
            }
        )
    return {
        "policy": {"set": suite.policy.id, "version": suite.policy.version},
        "fewest": suite.is_fewest,
        "cases": cases,
    }
