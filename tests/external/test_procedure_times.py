"""Check values K42 to K48 at the bedside: seconds and looks of the steps themselves."""

from __future__ import annotations

import pytest
from tests.asepsis_faults.orders import alter, branch_of, drop

from lumenkeep.core.asepsis.check import walk

pytestmark = pytest.mark.external


def breaks(procedure: str, *edits: object, **more: object) -> list[tuple[str, str]]:
    branch = branch_of(procedure, *edits, **more)  # type: ignore[arg-type]
    return [(b.step, b.rule) for b in walk(branch).breaks]


@pytest.mark.parametrize(("seconds", "sound"), [(29, False), (30, True)])
def test_k42_a_dry_site_is_scrubbed_for_30_seconds(seconds: int, sound: bool) -> None:
    """Drug label of 2 % chlorhexidine in 70 % alcohol (fact 1.23)."""
    found = breaks(
        "dressing-change", alter("D13", seconds="own"), seconds={"own": seconds}
    )

    assert (("D13", "R-A15") not in found) is sound
    assert (found == []) is sound


@pytest.mark.parametrize(("seconds", "sound"), [(30, False), (119, False), (120, True)])
def test_k43_a_moist_site_is_scrubbed_for_120_seconds(
    seconds: int, sound: bool
) -> None:
    """Drug label (fact 1.24); common practice P2."""
    found = breaks(
        "dressing-change",
        alter("D13", seconds="own"),
        seconds={"own": seconds},
        site="femoral",
    )

    assert (("D13", "R-A15") not in found) is sound
    assert (found == []) is sound


def test_k44_thirty_seconds_that_nobody_looked_at_do_not_make_it_dry() -> None:
    """Conflict C10: both the clock and the look; dryness beats the clock."""
    assert ("D16", "R-A15") in breaks("dressing-change", drop("D15"))


def test_k44_a_look_without_the_seconds_does_not_either() -> None:
    """Conflict C10."""
    assert ("D15", "R-A15") in breaks("dressing-change", drop("D14"))


@pytest.mark.parametrize(
    ("set_name", "seconds", "sound"),
    [("quillmere", 100, False), ("quillmere", 120, True)],
)
def test_k45_iodine_dries_for_as_long_as_the_set_says(
    set_name: str, seconds: int, sound: bool
) -> None:
    """Common practice P6 (120 s)."""
    found = breaks(
        "dressing-change",
        alter("D14", seconds="own"),
        seconds={"own": seconds},
        set_name=set_name,
        agent="povidone-iodine",
    )

    assert (("D14", "R-A15") not in found) is sound


@pytest.mark.parametrize(("least", "sound"), [(120, False), (90, True)])
def test_k45_a_hundred_seconds_pass_a_floor_of_ninety(least: int, sound: bool) -> None:
    """Infusion Nurses Society 2021, standard 33 (fact 1.29), from memory: 90 s."""
    found = breaks(
        "dressing-change",
        alter("D14", seconds="own"),
        seconds={"own": 100, "plan.dry": least},
        agent="povidone-iodine",
    )

    assert (("D14", "R-A15") not in found) is sound


@pytest.mark.parametrize(
    ("least", "seconds", "sound"),
    [
        (5, 4, False), (5, 5, True), (5, 10, True), (5, 15, True),
        (15, 4, False), (15, 5, False), (15, 10, False), (15, 15, True),
    ],
)  # fmt: skip
def test_k46_a_hub_is_scrubbed_for_as_long_as_the_set_says(
    least: int, seconds: int, sound: bool
) -> None:
    """SHEA 2022 (5 s) and epic3 (15 s), from memory (conflict C13)."""
    found = breaks(
        "connector-change",
        alter("N6a", seconds="own"),
        seconds={"own": seconds, "plan.hub-scrub": least},
    )

    assert (("N6a", "R-A15") not in found) is sound


@pytest.mark.parametrize(("seconds", "sound"), [(19, False), (20, True)])
def test_k47_hands_are_rubbed_for_20_seconds(seconds: int, sound: bool) -> None:
    """WHO 2009, as quoted in a neonatology manual (fact 5.1)."""
    found = breaks(
        "dressing-change", alter("D9", seconds="own"), seconds={"own": seconds}
    )

    assert (("D9", "R-A9") not in found) is sound


@pytest.mark.parametrize(
    ("swabs", "sound"), [((10, 10, 10), True), ((10, 10, 9), False)]
)
def test_k48_three_swabs_make_the_thirty_seconds(
    swabs: tuple[int, ...], sound: bool
) -> None:
    """Common practice P5; the label's 30 s are the sum of three swabs (fact 1.23)."""
    found = breaks(
        "dressing-change", alter("D13", seconds="own"), seconds={"own": sum(swabs)}
    )

    assert (("D13", "R-A15") not in found) is sound


def test_the_length_is_called_out_before_the_dressing_is_lifted() -> None:
    """Nursing Advanced Skills, chapter 4.4 (fact 5.7)."""
    steps = [act.step for act in branch_of("dressing-change").acts]
    order = [step.verb for step in steps]
    [measured] = [step for step in steps if step.verb == "measure"]

    assert order.index("measure") < order.index("loosen") < order.index("peel")
    assert "arm position" in measured.charted


def test_gloves_off_hands_then_sterile_gloves() -> None:
    """Skills texts (fact 5.9), from memory."""
    verbs = [act.step.verb for act in branch_of("dressing-change").acts]
    place = verbs.index("doff")

    assert verbs[place : place + 3] == ["doff", "hand-hygiene", "don"]


def test_iodine_is_wiped_off_and_looked_at_again() -> None:
    """Common practice P6; INS 2024 for newborns (fact 1.11)."""
    verbs = [
        act.step.verb
        for act in branch_of("dressing-change", agent="povidone-iodine").acts
    ]
    place = verbs.index("wipe")

    assert verbs[place - 3 : place + 3] == [
        "scrub", "wait", "look-dry", "wipe", "wait", "look-dry",
    ]  # fmt: skip
