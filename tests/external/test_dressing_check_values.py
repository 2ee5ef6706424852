"""Check values K24 to K27: who may have a dressing with chlorhexidine."""

from __future__ import annotations

import pytest
from tests.external.command import baby, child_of, day, plan, set_folder

pytestmark = pytest.mark.external


def test_k24_an_adult_with_a_short_term_line_has_the_impregnated_dressing() -> None:
    """CDC 2017, Updated recommendations on chlorhexidine-impregnated dressings."""
    case, at = child_of(18, kind="non-tunnelled")

    answer = plan(case, at, set_folder("cdc17"))

    assert answer.said["dressing"]["kind"] == "transparent-chg-gel"
    assert "C6" not in answer.disputes()


def test_k25_at_17_the_update_of_2017_recommends_nothing_and_says_who_disagrees() -> (
    None
):
    """CDC 2017, Updated recommendations on chlorhexidine-impregnated dressings."""
    case, at = child_of(17, kind="non-tunnelled")

    answer = plan(case, at, set_folder("cdc17"))

    assert answer.keeps_off("transparent-chg-gel") == {"cdc17-under-18"}
    [dispute] = [d for d in answer.said["disagreements"] if d["id"] == "C6"]
    assert {p["source"] for p in dispute["positions"]} >= {"CDC17", "SHEA22"}


def test_k25_at_17_the_update_of_2022_uses_it_and_says_who_disagrees() -> None:
    """SHEA 2022, Strategies to prevent CLABSI; the age is from memory."""
    case, at = child_of(17, kind="non-tunnelled")

    answer = plan(case, at, set_folder("shea22"))

    assert answer.said["dressing"]["kind"] == "transparent-chg-gel"
    assert "C6" in answer.disputes()


def test_k26_a_premature_newborn_is_not_recommended_one() -> None:
    """CDC 2017, Updated recommendations on chlorhexidine-impregnated dressings."""
    case = baby("29w0d", 1500, kind="non-tunnelled", unit="newborn-intensive-care")

    answer = plan(case, day(20), set_folder("cdc17"))

    assert "cdc17-premature" in answer.keeps_off("transparent-chg-gel")


def test_k26_newborn_intensive_care_does_without_but_the_exception_is_open() -> None:
    """SHEA newborn intensive care white paper, 2022."""
    case = baby("29w0d", 1500, kind="non-tunnelled", unit="newborn-intensive-care")

    answer = plan(case, day(20), set_folder("shean22"))

    assert answer.keeps_off("transparent-chg-gel") == {"shean22-no-pad"}
    assert any("28 weeks and 7 days" in text for text in answer.said["cautions"])


@pytest.mark.parametrize(
    ("gestation", "number"), [("27w6d", 20), ("28w0d", 6)], ids=("weeks", "days")
)
def test_k26_the_exception_stays_shut_one_day_short(
    gestation: str, number: int
) -> None:
    """SHEA newborn intensive care white paper, 2022."""
    case = baby(gestation, 1500, unit="newborn-intensive-care")

    answer = plan(case, day(number), set_folder("shean22"))

    assert not any("28 weeks and 7 days" in text for text in answer.said["cautions"])


def test_k27_the_update_of_2017_does_not_speak_of_tunnelled_lines() -> None:
    """CDC 2017, Updated recommendations on chlorhexidine-impregnated dressings."""
    case, at = child_of(18, kind="tunnelled")

    answer = plan(case, at, set_folder("cdc17"))

    assert answer.keeps_off("transparent-chg-gel") == {"cdc17-other-line"}
