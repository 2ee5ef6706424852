"""Every sign, on children of every kind, under every set: what it bars and makes due."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from lumenkeep.core.due import dressing_task, due_tasks
from lumenkeep.core.model.words import DRESSINGS, FINDINGS
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy, shipped_sets
from lumenkeep.files.case.case_file import case_from_mapping

AT = datetime(2026, 3, 5, 9, 30, tzinfo=UTC)
FILMS = {"transparent", "transparent-chg-gel", "transparent-chg-disc"}
IMPREGNATED = FILMS - {"transparent"}
CHLORHEXIDINE = {"chlorhexidine-alcohol", "chlorhexidine-aqueous"}
CHILDREN: dict[str, dict[str, Any]] = {
    "27-weeker": {"days": 5, "gestation": "27w3d", "g": 940, "unit": "newborn-intensive-care"},
    "term newborn": {"days": 9, "gestation": "39w0d", "g": 3400, "unit": "intensive-care"},
    "ten weeks": {"days": 72, "gestation": "39w0d", "g": 5100, "unit": "ward"},
    "two years": {"days": 800, "gestation": "38w0d", "g": 11_800, "unit": "ward"},
    "fifteen years": {"days": 5600, "gestation": "40w0d", "g": 52_000, "unit": "ward"},
}  # fmt: skip
SIGNS: dict[str, tuple[dict[str, Any], dict[str, Any], set[str]]] = {
    "allergic to chlorhexidine": (
        {"sensitivities": ["chlorhexidine"]}, {}, IMPREGNATED,
    ),
    "skin broken": ({}, {"skin_at_site": "broken"}, FILMS),
    **{word: ({}, {"found": word}, set(DRESSINGS)) for word in FINDINGS},
}  # fmt: skip
"""What of child and line the sign is, and the dressings that it makes due now."""


def case_of(who: dict[str, Any], sign: str | None, kind: str) -> Any:
    child, line, _ = SIGNS[sign] if sign else ({}, {}, set())
    line = dict(line)
    found = [line.pop("found")] if "found" in line else []
    mapping = {
        "child": {
            "born": (AT - timedelta(days=who["days"])).isoformat(),
            "gestation_at_birth": who["gestation"],
            "weights": [{"at": (AT - timedelta(hours=4)).isoformat(), "g": who["g"]}],
            "sensitivities": [],
            "unit": who["unit"],
            **child,
        },
        "line": {
            "kind": "picc",
            "site": "upper-arm",
            "skin_at_site": "intact",
            "dressing": {
                "kind": kind,
                "applied": (AT - timedelta(hours=2)).isoformat(),
                "findings": found,
            },
            **line,
        },
    }
    return case_from_mapping(mapping, "case")


@pytest.mark.parametrize("name", shipped_sets())
@pytest.mark.parametrize("kind", DRESSINGS)
@pytest.mark.parametrize("sign", SIGNS)
@pytest.mark.parametrize("who", CHILDREN)
def test_a_sign_makes_due_what_may_not_stay(
    who: str, sign: str, kind: str, name: str
) -> None:
    policy, child = load_policy(name), CHILDREN[who]
    before = dressing_task(due_tasks(case_of(child, None, kind), AT, policy))
    after = dressing_task(due_tasks(case_of(child, sign, kind), AT, policy))
    assert before is not None
    assert after is not None

    if kind in SIGNS[sign][2]:
        assert after.is_now
        assert after.why[0].startswith(("Found ", "May not stay on: "))
    else:
        assert after.is_now is before.is_now


@pytest.mark.parametrize("name", shipped_sets())
@pytest.mark.parametrize("sign", SIGNS)
@pytest.mark.parametrize("who", CHILDREN)
def test_a_sign_never_gives_what_it_bars(who: str, sign: str, name: str) -> None:
    policy = load_policy(name)
    plan = plan_change(case_of(CHILDREN[who], sign, "gauze"), AT, policy)

    given = plan.dressing.kind if plan.dressing else None
    agent = plan.antiseptic.agent if plan.antiseptic else plan.until_known
    if sign == "allergic to chlorhexidine":
        assert given not in IMPREGNATED
        assert agent not in CHLORHEXIDINE
    if sign == "skin broken":
        assert given not in FILMS
        assert agent not in CHLORHEXIDINE
    if sign == "bleeding":
        assert given not in FILMS
