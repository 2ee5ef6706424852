"""Check values K1 to K23: which antiseptic for whom, by each document's own rules."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner
from tests.external.command import BORN, baby, child_of, day, plan, set_folder

from lumenkeep.cli.main import main

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.external

K2 = baby("26w0d", 780)


def test_k1_common_practice_scrubs_a_healthy_three_year_old_with_chlorhexidine() -> (
    None
):
    """Common practice; CDC 2011 (Guidelines for the Prevention of Intravascular
    Catheter-Related Infections) says the same."""
    case, at = child_of(3, kind="non-tunnelled", site="chest")

    answer = plan(case, at)

    assert (answer.code, answer.agent) == (0, "chlorhexidine-alcohol")
    assert answer.said["excluded"] == []
    assert not answer.cautions_of("FDA12")
    assert not answer.cautions_of("INS24")


def test_k1_the_guideline_of_2011_scrubs_the_same_child_with_chlorhexidine() -> None:
    """CDC 2011, Guidelines for the Prevention of Intravascular Catheter-Related
    Infections."""
    case, at = child_of(3, kind="non-tunnelled", site="chest")

    answer = plan(case, at, set_folder("cdc11"))

    assert (answer.code, answer.agent) == (0, "chlorhexidine-alcohol")
    assert not answer.cautions_of("FDA12")


def test_k2_common_practice_has_three_reasons_against_chlorhexidine() -> None:
    """Common practice."""
    answer = plan(K2, day(3))

    assert answer.bars("chlorhexidine-alcohol") == {
        "chg-gestation",
        "chg-mass",
        "chg-age",
    }
    assert (answer.code, answer.agent) == (0, "povidone-iodine")
    assert answer.said["antiseptic"]["residue_removed_with"] == "sterile-saline"


def test_k3_the_formulary_bars_iodine_twice() -> None:
    """British National Formulary, as quoted in 2014."""
    answer = plan(K2, day(3), set_folder("bnf"))

    assert answer.bars("povidone-iodine") == {"bnf-gestation-bar", "bnf-mass-bar"}
    assert answer.code == 4


def test_k4_common_practice_and_the_formulary_together_agree_on_nothing() -> None:
    """Common practice with the British National Formulary, as quoted in 2014."""
    answer = plan(K2, day(3), set_folder("p-and-bnf"))

    assert (answer.code, answer.said["verdict"], answer.agent) == (4, "stop", None)
    assert answer.said["until_known"] is None
    assert answer.said["call"] == "the neonatologist of this example"
    assert answer.said["dressing"] is None
    assert answer.said["supplies"] == []


def test_k4_common_practice_alone_shows_that_the_formulary_disagrees() -> None:
    """British National Formulary, as quoted in 2014."""
    answer = plan(K2, day(3))

    [dispute] = [d for d in answer.said["disagreements"] if d["id"] == "C2"]
    assert {p["source"] for p in dispute["positions"]} >= {"BNF", "common-practice"}
    assert dispute["decided_by"].startswith("quillmere ")
    assert answer.cautions_of("BNF")


def test_k5_the_white_paper_may_use_two_per_cent_in_water() -> None:
    """SHEA newborn intensive care white paper, 2022."""
    answer = plan(K2, day(3), set_folder("shean22"))

    assert (answer.code, answer.agent) == (0, "chlorhexidine-aqueous")
    assert answer.said["antiseptic"]["label"] == "Chlorhexidine 2 % in water"


def test_k5_the_pharmacists_use_half_a_per_cent_in_water() -> None:
    """Neonatal and Paediatric Pharmacists Group, position statement on chlorhexidine."""
    from lumenkeep.core.policy import load_policy

    answer = plan(K2, day(3), set_folder("nppg"))

    policy = load_policy(set_folder("nppg"))
    strength = policy.agents["chlorhexidine-aqueous"].strength
    assert (answer.code, answer.agent) == (0, "chlorhexidine-aqueous")
    assert strength is not None
    assert policy.on(day(3).date()).words(strength) == "0.5 percent"


def test_k6_the_guideline_of_2011_has_no_answer_under_two_months() -> None:
    """CDC 2011, Guidelines for the Prevention of Intravascular Catheter-Related
    Infections; from memory."""
    answer = plan(K2, day(3), set_folder("cdc11"))

    assert (answer.code, answer.agent) == (4, None)
    assert answer.said["stop_because"] == [
        "Under 2 months the guideline makes no recommendation on chlorhexidine."
    ]


def test_k6_the_standards_of_2024_bar_only_the_tincture() -> None:
    """Infusion Therapy Standards of Practice, 9th edition, 2024."""
    answer = plan(K2, day(3), set_folder("ins24"))

    assert answer.code == 0
    assert {e["agent"] for e in answer.said["excluded"]} == {"tincture-of-iodine"}
    assert answer.cautions_of("INS24")


def test_k7_every_limit_just_reached_permits_chlorhexidine_with_the_label_caution() -> (
    None
):
    """Common practice; the caution is FDA, label change of May 2012."""
    answer = plan(baby("28w0d", 1000), day(7, hours=0))

    assert (answer.code, answer.agent) == (0, "chlorhexidine-alcohol")
    assert answer.said["excluded"] == []
    assert len(answer.cautions_of("FDA12")) == 1


@pytest.mark.parametrize(
    ("gestation", "at", "mass", "rule"),
    [
        pytest.param("27w6d", day(7), 1200, "chg-gestation", id="K8"),
        pytest.param("28w0d", day(6), 1200, "chg-age", id="K9"),
        pytest.param("28w0d", day(8), 999, "chg-mass", id="K10"),
        pytest.param("34w0d", day(2), 2300, "chg-age", id="K12"),
    ],
)
def test_k8_to_k12_one_step_short_of_one_limit_is_barred_by_it_alone(
    gestation: str, at: datetime, mass: int, rule: str
) -> None:
    """Common practice."""
    answer = plan(baby(gestation, mass), at)

    assert answer.bars("chlorhexidine-alcohol") == {rule}
    assert (answer.code, answer.agent) == (0, "povidone-iodine")


@pytest.mark.parametrize(
    ("gestation", "at", "agent"),
    [
        ("33w6d", day(6), "chlorhexidine-aqueous"),
        ("33w6d", day(7, hours=0), "chlorhexidine-alcohol"),
        ("34w0d", day(2), "chlorhexidine-alcohol"),
    ],
)
def test_k11_the_pharmacists_change_the_strength_and_never_bar(
    gestation: str, at: datetime, agent: str
) -> None:
    """Neonatal and Paediatric Pharmacists Group, position statement on chlorhexidine."""
    answer = plan(baby(gestation, 1900), at, set_folder("nppg"))

    assert (answer.code, answer.agent) == (0, agent)


def test_k12_a_late_preterm_baby_lies_outside_the_bar_on_iodine() -> None:
    """British National Formulary, as quoted in 2014."""
    answer = plan(baby("34w0d", 2300), day(2))

    assert "C2" not in answer.disputes()
    assert not answer.cautions_of("BNF")
    assert plan(baby("34w0d", 2300), day(2), set_folder("bnf")).code == 0


def test_k13_day_seven_still_counts_for_the_white_paper() -> None:
    """SHEA newborn intensive care white paper, 2022: 7 days or less."""
    case = baby("27w0d", 1100)
    white_paper = set_folder("shean22")

    assert plan(case, day(7, hours=0), white_paper).agent == "chlorhexidine-aqueous"
    assert plan(case, day(7, hours=23), white_paper).agent == "chlorhexidine-aqueous"
    assert plan(case, day(8, hours=0), white_paper).agent == "chlorhexidine-alcohol"


def test_k14_a_term_baby_of_ten_days_has_both_cautions() -> None:
    """Infusion Therapy Standards of Practice, 2024; FDA, label change of May 2012."""
    answer = plan(baby("39w0d", 3500), day(10), set_folder("ins24"))

    assert (answer.code, answer.agent) == (0, "chlorhexidine-alcohol")
    assert any("first 14 days" in text for text in answer.cautions_of("INS24"))
    assert answer.cautions_of("FDA12")


def test_k15_at_twenty_days_only_the_label_caution_stays() -> None:
    """Infusion Therapy Standards of Practice, 2024; FDA, label change of May 2012."""
    answer = plan(baby("39w0d", 3500), day(20), set_folder("label"))

    assert answer.agent == "chlorhexidine-alcohol"
    assert not any("first 14 days" in text for text in answer.cautions_of("INS24"))
    assert answer.cautions_of("FDA12")


@pytest.mark.parametrize(
    ("gestation", "at", "shown"),
    [
        ("30w0d", day(10), True),
        ("31w6d", day(13, hours=23), True),
        ("32w0d", day(10), False),
        ("30w0d", day(14, hours=0), False),
    ],
)
def test_k16_burns_are_warned_of_before_32_weeks_and_in_two_weeks(
    gestation: str, at: datetime, shown: bool
) -> None:
    """MHRA, Drug Safety Update, 2014."""
    answer = plan(baby(gestation, 1600), at, set_folder("label"))

    assert bool(answer.cautions_of("MHRA14")) is shown


@pytest.mark.parametrize(
    ("asked", "eight_weeks", "two_months"),
    [
        ("2025-02-25T23:59:00+00:00", False, False),
        ("2025-02-26T00:00:00+00:00", True, False),
        ("2025-02-28T23:59:00+00:00", True, False),
        ("2025-03-01T00:00:00+00:00", True, True),
    ],
)
def test_k17_eight_weeks_come_before_two_calendar_months(
    asked: str, eight_weeks: bool, two_months: bool
) -> None:
    """Arithmetic: day 56 is 8 weeks; 2 calendar months from 1 January are day 59."""
    case = baby("39w0d", 4500, born="2025-01-01T00:00:00+00:00")
    case["child"]["weights"][0]["at"] = "2025-01-01T00:00:00+00:00"

    weeks = plan(case, asked, set_folder("eight-weeks")).agent
    months = plan(case, asked, set_folder("two-months")).agent

    assert (weeks == "chlorhexidine-alcohol") is eight_weeks
    assert (months == "chlorhexidine-alcohol") is two_months


def test_k18_what_28_weeks_means_is_for_the_policy_to_say() -> None:
    """Common practice, read literally and as postmenstrual age (conflict C3)."""
    case, at = baby("24w0d", 5500), day(150)

    literal = plan(case, at, set_folder("p-literal"))
    grown = plan(case, at, set_folder("p-postmenstrual"))
    house = plan(case, at)

    assert literal.bars("chlorhexidine-alcohol") == {"chg-gestation"}
    assert grown.agent == "chlorhexidine-alcohol"
    assert house.agent == "chlorhexidine-alcohol"
    for answer in (literal, grown, house):
        assert "C3" in answer.disputes()


SETS_WITH_CHLORHEXIDINE = ("quillmere", set_folder("cdc11"))


@pytest.mark.parametrize("policy", SETS_WITH_CHLORHEXIDINE, ids=("P", "CDC11"))
def test_k19_an_allergy_bars_scrub_dressing_and_bath_together(policy: str) -> None:
    """Common practice, and any document: no chlorhexidine in any form."""
    case, at = child_of(5, sensitivities=["chlorhexidine"])

    answer = plan(case, at, policy)

    assert answer.bars("chlorhexidine-alcohol") == {"chg-allergy"}
    assert answer.keeps_off("chlorhexidine-bath") == {"chg-allergy"}
    assert "chg" not in answer.said["dressing"]["kind"]
    assert answer.agent != "chlorhexidine-alcohol"


def test_k19_common_practice_then_takes_iodine_and_saline() -> None:
    """Common practice."""
    case, at = child_of(5, sensitivities=["chlorhexidine"])

    answer = plan(case, at)

    assert answer.agent == "povidone-iodine"
    assert answer.said["antiseptic"]["residue_removed_with"] == "sterile-saline"
    assert answer.keeps_off("transparent-chg-gel") == {"chg-allergy"}


def test_k20_common_practice_has_no_answer_to_both_allergies() -> None:
    """Common practice: silent, so a person decides."""
    case, at = child_of(5, sensitivities=["chlorhexidine", "iodine"])

    answer = plan(case, at)

    assert (answer.code, answer.agent) == (4, None)
    assert answer.said["call"]


def test_k20_the_guideline_of_2011_leaves_alcohol() -> None:
    """CDC 2011 for the agent; Nova Scotia Health, vascular access page, for 1 minute
    of friction and 30 seconds to dry."""
    case, at = child_of(5, sensitivities=["chlorhexidine", "iodine"])

    answer = plan(case, at, set_folder("cdc11"))

    way = answer.said["antiseptic"]
    assert (answer.code, answer.agent) == (0, "alcohol-70")
    assert (way["scrub_s"], way["dry_s"]) == (60, 30)


def test_k21_broken_skin_means_iodine_then_saline() -> None:
    """Common practice."""
    case, at = child_of(6, skin_at_site="broken")

    answer = plan(case, at)

    assert answer.bars("chlorhexidine-alcohol") == {"chg-skin"}
    assert answer.agent == "povidone-iodine"
    assert answer.said["antiseptic"]["residue_removed_with"] == "sterile-saline"


STRENGTH = """
[set]
id = "strength"
title = "A strength of chlorhexidine"
version = "1"
extends = "quillmere"
call = "whoever is on call in this example"

[number.chg-alcohol-strength]
means = "Chlorhexidine in alcohol"
unit = "percent"
values = [{{ from = 2024-01-01, value = {value}, source = "common-practice" }}]
"""


@pytest.mark.parametrize(
    ("percent", "code"), [("0.5", 2), ("0.50", 2), ("0.51", 0), ("2", 0)]
)
def test_k22_chlorhexidine_must_be_stronger_than_half_a_per_cent(
    tmp_path: Path, percent: str, code: int
) -> None:
    """CDC 2011, Guidelines for the Prevention of Intravascular Catheter-Related
    Infections."""
    (tmp_path / "set.toml").write_text(STRENGTH.format(value=percent))

    words = ["due", "-", "--at", BORN.isoformat(), "--policy", str(tmp_path)]
    result = CliRunner().invoke(main, words, input="{}")

    assert result.exit_code == code
    assert ("more than 0.5 percent" in result.stderr) is (code == 2)


@pytest.mark.parametrize("policy", ["ins24", "cdc11"])
def test_k23_no_tincture_of_iodine_for_a_newborn(policy: str) -> None:
    """Infusion Therapy Standards of Practice, 2024; CDC 2011 from memory."""
    case = baby("39w0d", 3500)
    folder = set_folder(policy)

    newborn = plan(case, BORN + timedelta(days=28, minutes=-1), folder)
    older = plan(case, BORN + timedelta(days=28), folder)

    assert newborn.bars("tincture-of-iodine") == {"tincture-newborn"}
    assert older.bars("tincture-of-iodine") == set()
