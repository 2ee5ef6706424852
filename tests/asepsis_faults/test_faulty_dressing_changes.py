"""Dressing changes in a wrong order: the check names the step and the rule."""

from __future__ import annotations

from typing import Any

import pytest
from tests.asepsis_faults.orders import alter, branch_of, drop, move, repeat, walked

IODINE = {"agent": "povidone-iodine"}
SECUREMENT = {"securement": "change"}
SOIL = {"soil": "yes"}
DISC = {"dressing": "transparent-chg-disc"}
NEWBORN = {"unit": "newborn-intensive-care"}
IODINE_NEWBORN = {**NEWBORN, **IODINE}

# What is wrong; the edits; the step that must be named first; its rule; the branch.
FAULTS: list[tuple[str, list[Any], str, str, dict[str, str]]] = [
    ("length measured after lifting", [move("D5", before="D8")], "D6a", "length-first", {}),
    ("length never measured", [drop("D5")], "D6a", "length-first", {}),
    ("old dressing touched with bare hands", [drop("D3")], "D4", "R-A11", {}),
    ("dressing pulled outward", [alter("D6", manner=("outward-pull",))], "D6", "peel-towards", {}),
    ("dressing cut off", [alter("D6", manner=("scissors",))], "D6", "peel-towards", {}),
    ("no hands between the gloves", [drop("D9")], "D10", "R-A9", {}),
    ("hands before the gloves are off", [move("D9", before="D8b")], "D9", "R-A10", {}),
    ("rub too short", [alter("D9", seconds=None)], "D9", "R-A9", {}),
    ("gloves over gloves", [drop("D8b", "D9")], "D10", "R-A10", {}),
    ("scrub in the old gloves", [drop("D8b", "D9", "D10")], "D11", "R-A11", {}),
    ("masks after the field", [move("PR12", before="D3")], "D1", "R-A8", {}),
    ("no masks at all", [drop("PR12")], "D1", "R-A8", {}),
    ("no hands after the masks", [drop("PR13")], "D1", "R-A9", {}),
    ("mask off before the cover", [repeat("CL4", before="D13", actor="operator")], "again", "R-A1", {}),
    ("field on an unwiped surface", [drop("PR8")], "D1", "R-A6", {}),
    ("packs opened before the field", [move("D2", before="D1")], "D2", "R-A24", {}),
    ("packs never opened", [drop("D2")], "D11", "R-A14", {}),
    ("packs opened over the field", [alter("D2", manner=("over-field",))], "D2", "R-A5", {}),
    ("things on the margin", [alter("D2", manner=("margin",))], "D2", "R-A2", {}),
    ("a torn pack", [alter("D2", manner=("torn-pack",))], "D2", "R-A14", {}),
    ("a pack out of date", [alter("D2", manner=("out-of-date",))], "D2", "R-A14", {}),
    ("operator holds the tails", [alter("D11", touches=("tails",))], "D11", "R-A20", {}),
    ("operator lifts the line bare", [alter("D11", touches=("line",))], "D11", "R-A20", {}),
    ("operator steadies the child", [alter("D13", touches=("child",))], "D13", "R-A1", {}),
    ("operator moves the pump", [alter("D16", touches=("pump",))], "D16", "R-A1", {}),
    ("no scrub", [drop("D13")], "D15", "R-A15", {}),
    ("scrub too short", [alter("D13", seconds=None)], "D13", "R-A15", {}),
    ("looked before the clock", [move("D15", before="D14")], "D15", "R-A15", {}),
    ("clock alone", [drop("D15")], "D16", "R-A15", {}),
    ("look alone", [drop("D14")], "D15", "R-A15", {}),
    ("blotted", [alter("D14", manner=("blotting",))], "D14", "R-A15", {}),
    ("fanned", [alter("D14", manner=("fanning",))], "D14", "R-A15", {}),
    ("covered before the scrub", [move("D18", before="D13")], "D18", "R-A15", {}),
    ("barrier film before the scrub", [move("D16", before="D13")], "D16", "R-A15", {}),
    ("scrub in circles", [alter("D13", manner=("outward",))], "D13", "R-A16", {}),
    ("swab comes back", [alter("D13", manner=("back-and-forth", "returning"))], "D13", "R-A16", {}),
    ("felt about after the scrub", [repeat("D4", before="D16", touches=("site",), verb="feel")], "again", "R-A18", {}),
    ("measured after the scrub", [repeat("D5", before="D16", touches=("line",), uses=())], "again", "R-A18", {}),
    ("talk over the site", [alter("D15", manner=("talking",))], "D15", "R-A7", {}),
    ("assistant leaves the field", [alter("D3b", manner=("leaving",))], "D3b", "R-A4", {}),
    ("hands below the waist", [alter("D13", manner=("back-and-forth", "below-waist"))], "D13", "R-A3", {}),
    ("sink beside the field", [alter("D9", manner=("splashing",))], "D9", "R-A21", {}),
    ("assistant too close", [alter("D15", manner=("standing-close",))], "D15", "R-A22", {}),
    ("dressing forgotten", [drop("D18")], "CL4", "R-A8", {}),
    ("gloves kept on", [drop("CL2")], "CL3", "R-A10", {}),
    ("field kept", [drop("CL1")], "end", "end", {}),
    ("infusions left off", [drop("CL6")], "CL6d", "rates-by-two", {}),
    ("hands not cleaned at the end", [drop("CL9")], "end", "end", {}),
    ("iodine back and forth", [alter("PVI13", manner=("back-and-forth",))], "PVI13", "R-A16", IODINE),
    ("iodine left on", [drop("PVI15", "PVI16a", "PVI16b")], "D16", "R-A17", IODINE),
    ("iodine wiped while wet", [move("PVI15", before="D14")], "PVI15", "R-A17", IODINE),
    ("saline wiped inward", [alter("PVI15", manner=("returning",))], "PVI15", "R-A16", IODINE),
    ("no look after the saline", [drop("PVI16a", "PVI16b")], "D16", "R-A15", IODINE),
    ("look before the saline only", [move("PVI16b", before="PVI15"), drop("PVI16a")], "PVI16b", "R-A15", IODINE),
    ("soil scrubbed, not washed", [drop("D12")], "D13", "R-A19", SOIL),
    ("soil washed after the scrub", [move("D12", before="D14")], "D13", "R-A19", SOIL),
    ("nobody takes the line", [drop("SEC7b")], "D8", "somebody-holds", SECUREMENT),
    ("line taken too late", [move("SEC7b", before="D9")], "D8", "somebody-holds", SECUREMENT),
    ("assistant opens packs with the line in hand", [repeat("D2", before="D13", opens_all=False, opens=(("clear-film", 1),))], "again", "somebody-holds", SECUREMENT),
    ("disc before the scrub", [move("DISC17", before="D13")], "DISC17", "R-A15", DISC),
    ("nobody looks where it ran", [drop("NEO13")], "D14", "no-pool", NEWBORN),
    ("looked only after the drying", [move("NEO13", before="D15")], "D14", "no-pool", NEWBORN),
    ("soaked drape left in", [drop("NEO13d")], "D14", "R-A6", NEWBORN),
    ("excess left on a newborn", [drop("NEO15", "PVI16a", "PVI16b")], "D16", "R-A17", NEWBORN),
    ("excess taken off before it worked", [move("NEO15", before="D14")], "NEO15", "R-A17", NEWBORN),
    ("no drying after the excess", [drop("PVI16a", "PVI16b")], "D16", "R-A15", NEWBORN),
    ("iodine left on a newborn's back", [drop("NEO13")], "D14", "no-pool", IODINE_NEWBORN),
    ("nobody asked", [alter("PR3", objects=("child",))], "PR9", "agreement-first", {}),
    ("asked when all is laid out", [move("PR3", before="PR11")], "PR9", "agreement-first", {}),
    ("disc on wet skin", [move("DISC17", before="D15")], "DISC17", "R-A15", DISC),
]  # fmt: skip


@pytest.mark.parametrize(
    ("edits", "step", "rule", "facts"),
    [pytest.param(*row[1:], id=row[0]) for row in FAULTS],
)
def test_the_step_and_the_rule_are_named(
    edits: list[Any], step: str, rule: str, facts: dict[str, str]
) -> None:
    found = walked("dressing-change", *edits, **facts).breaks

    assert [(b.step, b.rule) for b in found][:1] == [(step, rule)]
    assert found[0].mend


def test_there_are_at_least_forty() -> None:
    assert len(FAULTS) >= 40


@pytest.mark.parametrize(
    "facts", [{}, IODINE, SOIL, SECUREMENT, DISC, NEWBORN, IODINE_NEWBORN]
)
def test_the_order_as_shipped_is_sound(facts: dict[str, str]) -> None:
    assert walked("dressing-change", **facts).breaks == ()


WORN = (
    "transparent", "transparent-chg-gel", "transparent-chg-disc", "gauze",
    "gauze-under-transparent",
)  # fmt: skip


@pytest.mark.parametrize("worn", WORN)
def test_what_comes_off_is_what_is_there(worn: str) -> None:
    [step] = [
        a.step
        for a in branch_of("dressing-change", worn=worn).acts
        if a.step.id == "D7"
    ]

    assert ("disc" in step.says) is (worn == "transparent-chg-disc")
    assert ("gauze" in step.says) is (worn in ("gauze", "gauze-under-transparent"))


@pytest.mark.parametrize("dressing", ["transparent", "transparent-chg-disc"])
def test_a_loop_speaks_of_a_disc_only_where_one_lies(dressing: str) -> None:
    acts = branch_of("dressing-change", dressing=dressing).acts
    [step] = [a.step for a in acts if a.step.id == "D17"]

    assert ("disc" in step.says) is (dressing == "transparent-chg-disc")


@pytest.mark.parametrize(("site", "fold"), [("chest", False), ("femoral", True)])
@pytest.mark.parametrize(
    ("agent", "scrub"), [("chlorhexidine-alcohol", "D13"), ("povidone-iodine", "PVI13")]
)
def test_a_fold_is_scrubbed_as_a_fold(
    site: str, fold: bool, agent: str, scrub: str
) -> None:
    acts = branch_of("dressing-change", site=site, agent=agent).acts
    [step] = [a.step for a in acts if a.step.id == scrub]

    assert ("fold" in step.says) is fold
    assert ("circles" in step.says) is (not fold and scrub == "PVI13")


@pytest.mark.parametrize(("masks", "count"), [("child-too", 1), ("not-the-child", 0)])
def test_a_small_child_is_not_masked(masks: str, count: int) -> None:
    """CDC 2020, advice for the community: no mask under 2 years."""
    branch = branch_of("dressing-change", masks=masks)
    used = dict(zip(branch.items, branch.planned(), strict=True))

    assert (used["mask"], used.get("child-mask", 0)) == (2, count)


def test_pain_is_read_before_and_after_on_a_named_scale() -> None:
    acts = branch_of("dressing-change").acts
    charted = {a.step.id: a.step.charted for a in acts if a.step.verb == "comfort"}

    assert charted["PR4"][:2] == ("pain scale", "pain score")
    assert charted["CL6p"] == ("pain scale", "pain score after")


def test_a_break_says_state_and_what_to_move() -> None:
    [found, *_] = walked("dressing-change", move("D5", before="D8")).breaks

    assert found.state == "length unknown"
    assert found.mend == "Move D5 to before D6a. Measure through the film first."
