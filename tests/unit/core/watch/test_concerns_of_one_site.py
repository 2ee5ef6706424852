"""What one look finds at one site is one concern, and nothing of it is lost."""

from __future__ import annotations

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.core.watch.watched_chart import watched

from lumenkeep.core.model.signs import SITE_SIGNS, SKIN_SIGNS

MANY = ["red", "painful", "discharge", "bleeding-on", "skin-broken", "sodden"]
AT_SITE = st.lists(
    st.sampled_from([*SITE_SIGNS, *SKIN_SIGNS]), unique=True, min_size=1, max_size=6
)


def test_many_signs_of_one_look_are_the_strictest_concern() -> None:
    chart = watched()
    number = chart.put("site-check", 3, signs=MANY)
    (one,) = chart.concerns().values()

    assert one.key == f"pus:{number}"
    assert one.hold == "the prescriber has said whether it may stay and be used"
    for words in ("Pus", "Red", "Bleeding", "Skin broken", "Skin white"):
        assert words in one.says
    assert "antiseptic off" in one.found.duty.asks
    # Bleeding that goes on is to be acted on at once, and so is all of it.
    alone = watched()
    alone.put("site-check", 3, signs=["bleeding-on"])
    (bleeding,) = alone.concerns().values()
    assert one.by == bleeding.by


def test_a_sign_that_comes_later_is_a_concern_of_its_own() -> None:
    chart = watched()
    first = chart.put("site-check", 30, signs=["red"])
    second = chart.put("site-check", 6, signs=["red", "discharge"])

    assert {f"site-inflamed:{first}", f"pus:{second}"} <= set(chart.concerns())


def test_what_was_folded_stays_so_while_it_is_seen_again() -> None:
    chart = watched()
    first = chart.put("site-check", 30, signs=["red", "discharge"])
    again = chart.put("site-check", 20, signs=["discharge", "red"])
    (one,) = chart.concerns().values()

    assert one.key == f"pus:{first}"
    assert one.entries == (first, again)
    assert "Red" in one.says


def test_what_outlasts_the_strictest_stands_for_itself() -> None:
    chart = watched()
    first = chart.put("site-check", 30, signs=["red", "discharge"])
    later = chart.put("site-check", 6, signs=["red"])

    assert set(chart.concerns()) == {f"pus:{first}", f"site-inflamed:{later}"}


def test_signs_elsewhere_keep_their_own_concern() -> None:
    chart = watched()
    number = chart.put("site-check", 3, signs=["red", "limb-swollen", "line-broken"])

    assert set(chart.concerns()) == {
        f"site-inflamed:{number}", f"limb-swollen:{number}", f"line-broken:{number}",
    }  # fmt: skip


def test_a_concern_somebody_acted_on_keeps_its_name() -> None:
    chart = watched()
    number = chart.put("site-check", 30, signs=["red", "discharge"])
    chart.put("concern-acknowledged", 29, concern=f"site-inflamed:{number}")

    assert set(chart.concerns()) == {f"pus:{number}", f"site-inflamed:{number}"}
    assert not any(one.found.is_orphan for one in chart.concerns().values())


@settings(max_examples=60, deadline=None)
@given(AT_SITE)
def test_one_look_at_a_site_raises_one_concern_with_every_word_and_hold(signs) -> None:
    together = watched()
    together.put("site-check", 3, signs=signs)
    raised = tuple(together.concerns().values())

    # Bleeding or oozing alone makes a change due, and raises no concern.
    assert len(raised) == (signs != ["bleeding"])
    for sign, one in product(signs, raised):
        alone = watched()
        alone.put("site-check", 3, signs=[sign])
        for single in alone.concerns().values():
            assert single.says.rstrip(".").lower() in one.says.lower()
            assert single.found.duty.asks in one.found.duty.asks
            assert single.hold in one.hold
            assert one.by <= single.by
