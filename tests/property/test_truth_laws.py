"""Three-valued truth keeps Kleene's laws."""

from __future__ import annotations

from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from lumenkeep.core.policy.truth import Truth, all_of, any_of

truths = st.sampled_from((True, False, None))
many = st.lists(truths, max_size=6)


def negated(truth: Truth) -> Truth:
    return None if truth is None else not truth


def completions(parts: list[Truth]) -> list[list[bool]]:
    """Return every way in which the undecided parts may turn out."""
    ways = [(True, False) if part is None else (part,) for part in parts]
    return [list(way) for way in product(*ways)]


@given(many)
def test_the_whole_is_decided_exactly_where_every_completion_agrees(
    parts: list[Truth],
) -> None:
    for law, plain in ((all_of, all), (any_of, any)):
        outcomes = {plain(way) for way in completions(parts)}
        expected = outcomes.pop() if len(outcomes) == 1 else None
        assert law(parts) is expected


@given(many)
def test_one_law_is_the_mirror_of_the_other(parts: list[Truth]) -> None:
    mirrored = [negated(part) for part in parts]

    assert all_of(parts) is negated(any_of(mirrored))


@given(many, st.randoms(use_true_random=False))
def test_order_and_repetition_do_not_matter(parts: list[Truth], random: object) -> None:
    shuffled = [*parts, *parts]
    random.shuffle(shuffled)  # type: ignore[attr-defined]

    assert all_of(shuffled) is all_of(parts)
    assert any_of(shuffled) is any_of(parts)


@given(many, many)
def test_parts_may_be_taken_together_first(one: list[Truth], two: list[Truth]) -> None:
    assert all_of([all_of(one), all_of(two)]) is all_of([*one, *two])
    assert any_of([any_of(one), any_of(two)]) is any_of([*one, *two])


def test_of_nothing_all_hold_and_none_holds() -> None:
    assert all_of([]) is True
    assert any_of([]) is False
