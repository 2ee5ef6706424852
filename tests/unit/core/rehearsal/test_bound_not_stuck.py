"""Under an allergy to adhesive the steps of a change use nothing that sticks."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

from lumenkeep.core.asepsis.branch import steps_for
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy
from lumenkeep.core.rehearsal.procedure_files import bedside_of, change_procedure
from lumenkeep.core.rehearsal.stage import Stage
from lumenkeep.files.case.case_file import case_from_mapping

AT = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
STICKS = {"securement", "sterile-strips", "barrier-film", "tape", "clear-film"}


def used(policy_name: str, sensitivities: list[str]) -> set[str]:
    """Return what the steps of any branch of the plan's change use."""
    given: dict[str, Any] = {
        "child": {
            "born": "2023-11-01",
            "sensitivities": sensitivities,
            "skin_at_site": "intact",
        },
        "line": {"kind": "picc", "site": "upper-arm", "dressing": {"findings": []}},
    }
    policy, case = load_policy(policy_name), case_from_mapping(given, "a made-up child")
    bedside = bedside_of(policy)
    stage = Stage.for_plan(policy, bedside, case, plan_change(case, AT, policy))
    written = change_procedure(bedside)
    assert written is not None
    return {
        item
        for words in stage.settings_of(written)
        for step in steps_for(written, stage.setting(written, words))
        for item in dict(step.uses)
    }


@pytest.mark.parametrize("policy", ["quillmere", "us-guideline", "uk-guideline"])
def test_a_child_who_tolerates_no_adhesive_is_bound(policy: str) -> None:
    found = used(policy, ["adhesive"])

    assert not found & STICKS
    assert {"bandage", "gauze-dressing"} <= found


@pytest.mark.parametrize("policy", ["quillmere", "us-guideline", "uk-guideline"])
def test_others_have_what_sticks_and_no_bandage(policy: str) -> None:
    found = used(policy, [])

    assert {"securement", "sterile-strips", "barrier-film"} <= found
    assert "bandage" not in found


@pytest.mark.parametrize("policy", ["quillmere", "us-guideline", "uk-guideline"])
def test_a_child_who_tolerates_no_silicone_gets_no_barrier_film(policy: str) -> None:
    found = used(policy, ["silicone"])

    assert {"securement", "sterile-strips"} <= found
    assert not found & {"barrier-film", "adhesive-remover"}
