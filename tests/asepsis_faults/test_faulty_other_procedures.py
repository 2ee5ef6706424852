"""Connector, set, port needle, re-cover and removal in a wrong order."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from tests.asepsis_faults.orders import alter, branch_of, drop, move, walked

from lumenkeep.asepsis.check import walk

STERILE = {"technique": "sterile"}
OPEN = {"findings": "damp"}

# Procedure; what is wrong; the edits; the step named first; its rule; the branch.
FAULTS: list[tuple[str, str, list[Any], str, str, dict[str, str]]] = [
    ("connector-change", "opened unclamped", [drop("N5")], "N7", "R-A23", {}),
    ("connector-change", "clamped after opening", [move("N5", before="N9")], "N7", "R-A23", {}),
    ("connector-change", "opened above the heart", [drop("PR7")], "N7", "R-A23", {}),
    ("connector-change", "opened on an in-breath", [alter("N7", manner=("in-breath",))], "N7", "R-A23", {}),
    ("connector-change", "joint not scrubbed", [drop("N6a", "N6b", "N6c")], "N7", "R-A20", {}),
    ("connector-change", "joint scrubbed too short", [alter("N6a", seconds=None)], "N6a", "R-A15", {}),
    ("connector-change", "joint not looked at", [drop("N6c")], "N7", "R-A20", {}),
    ("connector-change", "top not scrubbed", [drop("N10a", "N10b", "N10c")], "N12", "R-A20", {}),
    ("connector-change", "unclamped while open", [move("N11", before="N9")], "N11", "R-A23", {}),
    ("connector-change", "no new connector", [drop("N9")], "N11", "R-A23", {}),
    ("connector-change", "open hub touched a sleeve", [alter("N7", manner=("bare-touch",))], "N7", "R-A13", {}),
    ("connector-change", "tip held in clean gloves", [alter("N9", touches=("tip",))], "N9", "R-A13", {}),
    ("connector-change", "sterile glove on an unscrubbed hub", [alter("N6a", touches=("hub",))], "N6a", "R-A20", STERILE),
    ("connector-change", "operator works the clamp in sterile gloves", [alter("N5", actor="operator", touches=("pump",))], "N5", "R-A1", STERILE),
    ("set-change", "line open while the pump is clamped only later", [move("S6", before="S9")], "S8", "R-A23", {}),
    ("set-change", "pump on before the line is closed", [move("S12", before="S9")], "S12", "R-A23", {}),
    ("set-change", "joint blown dry", [alter("S7b", manner=("blowing",))], "S7b", "R-A15", {}),
    ("set-change", "no masks for the sterile way", [drop("PR12")], "S1", "R-A8", STERILE),
    ("port-needle-change", "old needle still in", [drop("I7")], "I13", "R-A23", {}),
    ("port-needle-change", "needle through unscrubbed skin", [move("I13", before="I12a")], "I13", "R-A15", {}),
    ("port-needle-change", "needle held in clean gloves", [alter("I7", touches=("needle",))], "I7", "R-A13", {}),
    ("port-needle-change", "new needle in the old gloves", [drop("I10e", "I10f", "I10g")], "I11", "R-A12", {}),
    ("re-cover", "open point covered unmasked", [drop("E3", "E3b")], "E5", "R-A8", OPEN),
    ("re-cover", "open point covered with bare hands", [drop("E4", "E6b")], "E5", "R-A13", OPEN),
    ("re-cover", "line left hanging from the finder's hand", [drop("E7")], "end", "end", {}),
    ("line-removal", "drawn unclamped", [drop("R7")], "R13", "R-A23", {}),
    ("line-removal", "drawn before the stitches are cut", [move("R12", before="R14")], "R13", "R-A23", {}),
    ("line-removal", "drawn whenever", [alter("R13", manner=())], "R13", "R-A23", {}),
    ("line-removal", "drawn sitting up", [drop("PR7", "R2")], "R13", "R-A23", {}),
    ("line-removal", "sealed without pressure", [drop("R14")], "R15", "R-A23", {}),
    ("line-removal", "skin not scrubbed", [drop("R11a", "R11b", "R11c")], "R12", "R-A15", {}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("procedure", "edits", "step", "rule", "facts"),
    [pytest.param(row[0], *row[2:], id=f"{row[0]}: {row[1]}") for row in FAULTS],
)
def test_the_step_and_the_rule_are_named(
    procedure: str, edits: list[Any], step: str, rule: str, facts: dict[str, str]
) -> None:
    found = walked(procedure, *edits, **facts).breaks

    assert [(b.step, b.rule) for b in found][:1] == [(step, rule)]


def test_a_re_cover_that_would_reset_a_due_time_is_refused() -> None:
    branch = replace(branch_of("re-cover", **OPEN), resets=("dressing",))

    assert [(b.step, b.rule) for b in walk(branch).breaks] == [("end", "no-reset")]


def test_a_re_cover_ends_covered_but_not_aseptic() -> None:
    assert walked("re-cover", **OPEN).states[-1].site == "not-aseptic"
    assert branch_of("re-cover", **OPEN).resets == ()
