"""Connector, set, port needle, re-cover and removal in a wrong order."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from tests.asepsis_faults.orders import alter, branch_of, drop, move, walked

from lumenkeep.core.asepsis.check import walk

STERILE = {"technique": "sterile"}
OPEN = {"findings": "damp"}
LUMENS = {"lumens": "2"}

# Procedure; what is wrong; the edits; the step named first; its rule; the branch.
FAULTS: list[tuple[str, str, list[Any], str, str, dict[str, str]]] = [
    ("connector-change", "opened unclamped", [drop("N5")], "N6a", "paused-first", {}),
    ("connector-change", "clamped after opening", [move("N5", before="N9")], "N6a", "paused-first", {}),
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
    ("connector-change", "pump never paused", [drop("N4p")], "N5", "paused-first", {}),
    ("connector-change", "pump paused only after the clamp", [move("N4p", before="N6a")], "N5", "paused-first", {}),
    ("connector-change", "second lumen opened while its pump runs", [drop("N4p-2")], "N5-2", "paused-first", LUMENS),
    ("connector-change", "second lumen begun while the first is open", [move("N7-2", before="N9")], "N7-2", "R-A20", LUMENS),
    ("connector-change", "second connector not filled", [drop("N4-2")], "N4p-2", "paused-first", LUMENS),
    ("connector-change", "connector not filled", [drop("N4")], "N4p", "paused-first", {}),
    ("connector-change", "pump started against the clamp", [alter("N14", objects=("pump",))], "N14", "paused-first", {}),
    ("connector-change", "rates never checked", [drop("N15")], "end", "end", {}),
    ("connector-change", "rates checked by one", [alter("N15", actor="assistant")], "N15", "rates-by-two", {}),
    ("connector-change", "laid out before anybody agreed", [alter("PR3", objects=("child",))], "PR9", "agreement-first", {}),
    ("set-change", "set joined unprimed", [drop("S4", "S4h")], "S5", "paused-first", {}),
    ("set-change", "set filled before it is spiked", [move("S3k", before="S5")], "S4", "R-A23", {}),
    ("set-change", "set joined before it hangs", [drop("S4h")], "S9", "hung-first", {}),
    ("set-change", "set joined, then hung", [move("S4h", before="S10")], "S9", "hung-first", {}),
    ("set-change", "spike touched", [alter("S3k", touches=("tip",))], "S3k", "R-A13", {}),
    ("set-change", "pump never stopped", [drop("S5")], "S6", "paused-first", {}),
    ("set-change", "pump on against the clamp", [drop("S11")], "S12", "paused-first", {}),
    ("set-change", "rates checked by one", [alter("S13", actor="operator")], "S13", "rates-by-two", {}),
    ("set-change", "rates checked while it stands", [move("S13", before="S12")], "S13", "rates-by-two", {}),
    ("set-change", "rates not checked", [drop("S13")], "end", "end", {}),
    ("set-change", "everybody stays to watch", [alter("S14", actor="both")], "S14", "watch-by-one", {}),
    ("set-change", "line open while the pump is clamped only later", [move("S6", before="S9")], "S7a", "paused-first", {}),
    ("set-change", "pump on before the line is closed", [move("S12", before="S9")], "S12", "R-A23", {}),
    ("set-change", "joint blown dry", [alter("S7b", manner=("blowing",))], "S7b", "R-A15", {}),
    ("set-change", "no masks for the sterile way", [drop("PR12")], "S1", "R-A8", STERILE),
    ("port-needle-change", "cream after hands and masks", [move("I0", before="I1")], "I0", "cream-first", {}),
    ("port-needle-change", "cream after hand hygiene", [move("I0", before="PR12")], "I0", "cream-first", {}),
    ("port-needle-change", "cream on the old film", [move("I0", before="I5r")], "I0", "cream-first", {}),
    ("port-needle-change", "cream on broken skin", [alter("I0", manner=("broken-skin",))], "I0", "cream-first", {}),
    ("port-needle-change", "cream too short", [alter("I0w", seconds="hand-rub")], "I0w", "cream-first", {}),
    ("port-needle-change", "cream wiped off at once", [drop("I0w")], "I9p", "cream-first", {}),
    ("port-needle-change", "cream still on under sterile gloves", [drop("I9p", "I9")], "I10g", "cream-first", {}),
    ("port-needle-change", "hub not scrubbed before the flush", [drop("I3a", "I3b", "I3c")], "I4", "R-A20", {}),
    ("port-needle-change", "hub flushed wet", [drop("I3c")], "I4", "R-A20", {}),
    ("port-needle-change", "infusion not paused", [drop("I0c")], "I4", "paused-first", {}),
    ("port-needle-change", "needle not filled", [drop("I11")], "I13", "R-A23", {}),
    ("port-needle-change", "masks only after the cream is off", [move("PR12", before="I10g"), drop("PR13")], "I1", "R-A8", {}),
    ("port-needle-change", "rates not checked", [drop("CL6r")], "end", "end", {}),
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
    ("line-removal", "both stand and watch", [alter("R17", actor="both")], "R17", "watch-by-one", {}),
    ("line-removal", "watched in gloves and mask", [move("R17", before="CL1")], "R17", "watch-by-one", {}),
    ("line-removal", "waited out by both", [alter("R17", verb="wait", actor="both")], "R17", "watch-by-one", {}),
    ("line-removal", "drawn while the pump runs", [drop("R6")], "R7", "paused-first", {}),
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

    assert [(b.step, b.table) for b in walk(branch).breaks] == [
        ("head", "counts-as-dressing"),
        ("end", "no-reset"),
    ]


@pytest.mark.parametrize("lumens", ["1", "2", "3", "6"])
def test_every_lumen_has_all_steps_and_its_own_things(lumens: str) -> None:
    branch = branch_of("connector-change", lumens=lumens)
    used = dict(zip(branch.items, branch.planned(), strict=True))
    opened = [act.step.id for act in branch.acts if act.step.verb == "open-lumen"]

    assert used["connector"] == len(opened) == int(lumens)
    assert used["saline-syringe"] == 2 * int(lumens)
    assert used["hub-wipe"] == 3 * int(lumens)
    assert len({act.step.id for act in branch.acts}) == len(branch.acts)
    assert walk(branch).breaks == ()


def test_a_lumen_is_named_where_there_are_more() -> None:
    [one] = [
        a.step
        for a in branch_of("connector-change", **LUMENS).acts
        if a.step.id == "N5-2"
    ]
    [only] = [a.step for a in branch_of("connector-change").acts if a.step.id == "N5"]

    assert one.says.startswith("Lumen 2 of 2: The assistant closes the clamp")
    assert only.says.startswith("The assistant closes the clamp")


def test_what_the_port_needs_is_laid_out() -> None:
    """Child Health BC 2023 and the review of numbing creams of 2025: what lies ready."""
    branch = branch_of("port-needle-change")
    used = dict(zip(branch.items, branch.planned(), strict=True))

    for item in (
        "numbing-cream",
        "plaster",
        "adhesive-remover",
        "lock-syringe",
        "clean-wipe",
    ):
        assert used[item] >= 1, item


def test_the_cream_has_an_hour_before_hands_and_masks() -> None:
    """Stavleu 2025: at least 60 minutes; Child Health BC 2023: first of all."""
    acts = branch_of("port-needle-change").acts
    ids = [act.step.id for act in acts]

    assert acts[ids.index("I0w")].seconds == 60 * 60
    assert ids.index("I6") < ids.index("I0") < ids.index("I0w") < ids.index("PR8")
    assert ids.index("PR8") < ids.index("PR11") < ids.index("PR12") < ids.index("I9")
    assert ids.index("I9") < ids.index("I10g") < ids.index("I11")


def test_after_a_removal_one_watches_and_the_others_may_leave() -> None:
    [*_, before, last] = branch_of("line-removal").acts
    pressing = [a for a in branch_of("line-removal").acts if a.step.verb == "press"]

    assert (last.step.verb, last.people, last.seconds) == (
        "watch",
        ("assistant",),
        1800,
    )
    assert before.step.id == "CL9"
    assert [act.people for act in pressing] == [("operator",)]


def test_a_re_cover_ends_covered_but_not_aseptic() -> None:
    assert walked("re-cover", **OPEN).states[-1].site == "not-aseptic"
    assert branch_of("re-cover", **OPEN).resets == ()
