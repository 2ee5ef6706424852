"""What looks at a site show, one after another."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.fakes.clock import NOON

from lumenkeep.core.model.entry import Entry
from lumenkeep.core.watch.site import has_worsened_again, stitches_lost, trend
from lumenkeep.core.watch.site_looks import SiteLook, look_of


def look(number: int, *signs: str, whole: bool = True, **more) -> SiteLook:
    at = NOON + timedelta(hours=number)
    return SiteLook(number, at, frozenset(signs), whole, **more)


def entry(kind: str, **body) -> Entry:
    return Entry(1, "c", "l", kind, NOON, NOON, "s", "p", None, body)


def test_a_look_that_ticks_nothing_saw_nothing() -> None:
    found = look_of(entry("site-check", signs=[]))

    assert found is not None
    assert found.has("red") is False


def test_a_check_without_a_word_of_the_site_tells_nothing() -> None:
    assert look_of(entry("site-check", note="seen")) is None


def test_the_one_word_of_a_change_leaves_lighter_signs_unknown() -> None:
    found = look_of(entry("dressing-change", site="swollen"))

    assert found is not None
    assert (found.has("swollen"), found.has("red")) == (True, None)


def test_a_healthy_site_at_a_change_has_no_sign() -> None:
    found = look_of(entry("dressing-change", site="healthy"))

    assert found is not None
    assert found.has("red") is False


def test_a_healthy_site_with_broken_skin_is_not_whole() -> None:
    found = look_of(entry("dressing-change", site="healthy", skin="broken"))

    assert found is not None
    assert (found.has("skin-broken"), found.has("red")) == (True, None)


def test_bleeding_charted_as_a_finding_is_a_sign() -> None:
    found = look_of(entry("finding", findings=["damp", "bleeding"]))

    assert found is not None
    assert found.signs == {"bleeding"}


def test_a_strange_body_is_read_as_telling_nothing() -> None:
    body = {"stitches": True, "grades": [1], "arm_girth_mm": "180"}

    assert look_of(entry("site-check", **body)) is None


@pytest.mark.parametrize(
    ("before", "now", "state"),
    [
        ((), ("red",), "worse"),
        (("red",), ("red", "hot"), "worse"),
        (("red",), ("hot",), "same"),
        (("red", "hot"), ("red",), "better"),
        (("red",), (), "better"),
        (("red",), ("red",), "same"),
        (("red",), ("red", "fever"), "same"),
    ],
)
def test_a_trend_compares_the_last_two_looks(before, now, state) -> None:
    assert trend([look(1, *before), look(2, *now)]).state == state


def test_fewer_signs_in_a_partial_look_are_not_better() -> None:
    assert trend([look(1, "red", "hot"), look(2, "hot", whole=False)]).state == "same"


def test_one_look_cannot_be_judged() -> None:
    assert trend([look(1, "red")]).state == "cannot-judge"
    assert trend([]).state == "cannot-judge"


def test_a_grade_goes_before_signs() -> None:
    looks = [
        look(1, "red", "hot", grades={"phlebitis": 1}),
        look(2, "red", grades={"phlebitis": 2}),
    ]

    assert trend(looks).state == "worse"
    assert trend(looks).says == "phlebitis: grade 1, then 2"


def test_a_first_sign_is_no_further_worsening() -> None:
    assert has_worsened_again([look(1), look(2, "red")]) is None
    assert has_worsened_again([look(1, "red"), look(2, "red", "hot")]) is not None


def test_stitches_are_held_against_the_most_ever_counted() -> None:
    counts = [4, None, 3, 4, 2]
    looks = [look(n, stitches=count) for n, count in enumerate(counts)]

    assert stitches_lost(looks) == 2
    assert stitches_lost(looks[:4]) == 0
    assert stitches_lost([look(1)]) is None
