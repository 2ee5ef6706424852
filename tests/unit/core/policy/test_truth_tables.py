"""Kleene's tables: all and any of what holds, does not, or is not decided."""

from __future__ import annotations

import itertools

import pytest

from lumenkeep.core.policy.truth import all_of, any_of

TRUTHS = (True, False, None)
CASES = [parts for size in range(4) for parts in itertools.product(TRUTHS, repeat=size)]


@pytest.mark.parametrize("parts", CASES)
def test_all_of_is_no_where_one_does_not_hold(parts: tuple[bool | None, ...]) -> None:
    wanted = False if False in parts else None if None in parts else True

    assert all_of(parts) is wanted


@pytest.mark.parametrize("parts", CASES)
def test_any_of_is_yes_where_one_holds(parts: tuple[bool | None, ...]) -> None:
    wanted = True if True in parts else None if None in parts else False

    assert any_of(parts) is wanted
