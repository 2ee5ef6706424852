"""Check values K42 to K48, K54 and K55: seconds, postmenstrual age and units."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest
from click.testing import CliRunner
from tests.external.command import BORN, baby, child_of, day, plan, set_folder

from lumenkeep.cli.main import main
from lumenkeep.core.model import Elapsed
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.numbers import read_value

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.external

HEAD = """
[set]
id = "own"
title = "A set of the tests"
version = "1"
extends = "quillmere"
call = "whoever is on call in this example"
"""
NUMBER = """
[number.{name}]
means = "A number of the tests"
unit = "{unit}"
values = [{{ from = 2024-01-01, value = {value}, source = "common-practice" }}]
"""


def check(folder: Path, **numbers: tuple[int, str]) -> tuple[int, str]:
    """Return exit code and faults of asking by a set that states its own numbers."""
    text = HEAD + "".join(
        NUMBER.format(name=name.replace("_", "-"), value=value, unit=unit)
        for name, (value, unit) in numbers.items()
    )
    (folder / "set.toml").write_text(text)
    words = ["due", "-", "--at", BORN.isoformat(), "--policy", str(folder)]
    result = CliRunner().invoke(main, words, input="{}")
    return result.exit_code, result.stderr


def way(**line: Any) -> dict[str, Any]:
    case, at = child_of(4, **line)
    return plan(case, at).said["antiseptic"]


def test_k42_and_k48_chlorhexidine_on_a_dry_site_is_three_swabs_of_ten_seconds() -> (
    None
):
    """Drug label of 2 % chlorhexidine in 70 % alcohol; common practice."""
    said = way(site="chest")

    assert (said["swabs"], said["seconds_per_swab"]) == (3, 10)
    assert said["scrub_s"] == 30
    assert said["motion"] == "back-and-forth"


@pytest.mark.parametrize(
    ("seconds", "code"), [pytest.param(9, 2, id="27 s"), pytest.param(10, 0, id="30 s")]
)
def test_k42_no_set_may_scrub_for_less_than_the_label(
    tmp_path: Path, seconds: int, code: int
) -> None:
    """Drug label of 2 % chlorhexidine in 70 % alcohol."""
    found, faults = check(tmp_path, chg_seconds_per_swab=(seconds, "s"))

    assert found == code
    assert ("needs at least 10 s" in faults) is (code == 2)


@pytest.mark.parametrize("swabs", [2, 3])
def test_k48_no_set_may_use_fewer_than_three_swabs(tmp_path: Path, swabs: int) -> None:
    """Drug label of 2 % chlorhexidine in 70 % alcohol."""
    assert check(tmp_path, chg_swabs=(swabs, "count"))[0] == (2 if swabs == 2 else 0)


def test_k43_the_groin_is_scrubbed_for_two_minutes_and_dries_for_one() -> None:
    """Drug label of 2 % chlorhexidine in 70 % alcohol, times from memory; common
    practice."""
    said = way(site="femoral")

    assert said["agent"] == "chlorhexidine-alcohol"
    assert (said["scrub_s"], said["dry_s"]) == (120, 60)
    assert said["swabs"] * said["seconds_per_swab"] == 120


@pytest.mark.parametrize(
    ("seconds", "code"), [(30, 2), (119, 2), (120, 0)], ids=["30 s", "119 s", "120 s"]
)
def test_k43_no_set_may_scrub_a_moist_site_for_less(
    tmp_path: Path, seconds: int, code: int
) -> None:
    """Drug label of 2 % chlorhexidine in 70 % alcohol, times from memory."""
    assert check(tmp_path, moist_scrub=(seconds, "s"))[0] == code


def test_k43_the_groin_asks_the_same_of_povidone_iodine() -> None:
    """Common practice: the moist-site rule belongs to the site, not to the agent."""
    said = way(site="femoral", sensitivities=["chlorhexidine"])

    assert said["agent"] == "povidone-iodine"
    assert said["scrub_s"] == 120
    assert said["dry_s"] == 120


def test_k44_dryness_beats_the_clock() -> None:
    """CDC 2011 and common practice (conflict C10): a least time, and dry to the eye."""
    said = way(site="chest")

    assert said["dry_s"] == 30
    assert said["dry_judgement"] == (
        "Until the clock and the eye agree: shiny skin is still wet. "
        "No wiping, fanning or blowing."
    )


def test_k45_povidone_iodine_dries_two_minutes_by_common_practice() -> None:
    """Common practice: 100 seconds fail."""
    assert way(sensitivities=["chlorhexidine"])["dry_s"] == 120


def test_k45_povidone_iodine_dries_ninety_seconds_by_the_standards_of_2021() -> None:
    """INS 2021, from memory: 100 seconds pass."""
    case, at = child_of(4)

    said = plan(case, at, set_folder("ins21")).said["antiseptic"]

    assert (said["agent"], said["dry_s"]) == ("povidone-iodine", 90)


@pytest.mark.parametrize(("seconds", "code"), [(89, 2), (90, 0), (100, 0)])
def test_k45_no_set_may_dry_iodine_for_less_than_ninety_seconds(
    tmp_path: Path, seconds: int, code: int
) -> None:
    """INS 2021, from memory."""
    assert check(tmp_path, pvi_dry=(seconds, "s"))[0] == code


def test_k46_the_documents_disagree_on_how_long_a_hub_is_scrubbed() -> None:
    """SHEA 2022, INS 2021 and epic3, all from memory: the plan shows who says what."""
    case, at = child_of(4)

    [said] = [d for d in plan(case, at).said["disagreements"] if d["id"] == "C13"]

    assert {p["source"]: p["says"] for p in said["positions"]} == {
        "SHEA22": "At least 5 seconds.",
        "INS21": "5 to 15 seconds, then dry.",
        "epic3": "15 seconds, then dry.",
    }


@pytest.mark.parametrize(
    ("name", "seconds"), [("us-guideline", 5), ("uk-guideline", 15)]
)
def test_k46_each_guideline_set_has_its_documents_time_for_a_hub(
    name: str, seconds: int
) -> None:
    """SHEA 2022 (at least 5 seconds) and epic3 (15 seconds), both from memory."""
    book = load_policy(name).on(BORN.date())

    assert book.value("hub-scrub") == Elapsed(seconds)


PMA = """
[[exclude]]
id = "by-postmenstrual-age"
because = "Not yet as old as the test asks."
source = "common-practice"
bars = ["chlorhexidine-alcohol"]
when = [{{ postmenstrual_age = {{ below = {{ value = "{limit}", unit = "weeks+days", from = 2024-01-01, source = "common-practice" }} }} }}]
"""


@pytest.mark.parametrize(
    ("limit", "barred"),
    [("32w1d", False), ("32w2d", True)],
    ids=["reached", "one more"],
)
def test_k54_26_weeks_and_3_days_at_40_days_make_32_weeks_and_1_day(
    tmp_path: Path, limit: str, barred: bool
) -> None:
    """Arithmetic."""
    (tmp_path / "set.toml").write_text(HEAD + PMA.format(limit=limit))

    answer = plan(
        baby("26w3d", 1800), BORN + timedelta(days=40, hours=5), str(tmp_path)
    )

    assert ("by-postmenstrual-age" in answer.bars("chlorhexidine-alcohol")) is barred


@pytest.mark.parametrize(
    ("value", "unit", "mm"),
    [
        (2, "in", 50.8),
        (3, "in", 76.2),
        (5, "in", 127.0),
        (36, "in", 914.4),
        (0.9, "m", 900.0),
        (5.08, "cm", 50.8),
    ],
)
def test_k55_lengths_are_converted_exactly(value: float, unit: str, mm: float) -> None:
    """Arithmetic: an inch is 25.4 mm."""
    assert read_value(value, unit) == mm


def test_k55_the_area_and_the_masks_of_common_practice() -> None:
    """Common practice: 2 to 3 inches, and everyone within 3 feet, in whole mm and to
    one decimal of a metre."""
    case, at = child_of(4)

    said = plan(case, at).said

    assert said["antiseptic"]["area_mm"] == [51, 76]
    assert said["masks_within_m"] == 0.9
    assert said["staff"] == 2


def test_hours_of_a_policy_are_elapsed_time() -> None:
    """Arithmetic: 168 hours are 604 800 seconds."""
    assert read_value(168, "h") == Elapsed(604_800)
    assert plan(baby("28w0d", 1000), day(7, hours=0)).agent == "chlorhexidine-alcohol"
