"""What the writer writes, the reader of TOML reads back as the same tables."""

from __future__ import annotations

import tomllib
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumenkeep.core.policy.archive import SetTexts, policy_from_texts, set_texts
from lumenkeep.core.policy.write import file_text, value_text

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
PLAIN = st.one_of(
    st.booleans(),
    st.integers(-(2**40), 2**40),
    st.floats(allow_nan=False, allow_infinity=False),
    st.dates(date(1000, 1, 1), date(9999, 12, 31)),
    TEXTS,
)
VALUES = st.recursive(
    PLAIN,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(TEXTS, inner, max_size=3)
    ),
    max_leaves=8,
)
TABLE = st.dictionaries(TEXTS, VALUES, max_size=4)


@given(
    TABLE,
    st.dictionaries(TEXTS, TABLE, max_size=3),
    st.lists(TABLE, max_size=3),
)
def test_what_is_written_reads_back_the_same(meta, numbers, rules) -> None:
    tables = {"set": meta, "number": numbers, "exclude": rules}

    read = tomllib.loads(file_text(tables))

    assert read == {k: v for k, v in tables.items() if v or k == "set"}


@pytest.mark.parametrize("name", ["quillmere", "us-guideline", "uk-guideline"])
def test_a_shipped_set_written_anew_is_the_same_policy(name: str) -> None:
    layers = [
        SetTexts.of(
            layer.name, {n: file_text(tomllib.loads(t)) for n, t in layer.files}
        )
        for layer in set_texts(name)
    ]

    again, first = policy_from_texts(layers), policy_from_texts(set_texts(name))

    assert again.every_rule() == first.every_rule()
    assert again.numbers == first.numbers
    assert (again.antiseptics, again.dressings) == (first.antiseptics, first.dressings)


def test_a_long_list_stands_one_item_a_line() -> None:
    row = {"when": [{"mass": {"below": "chg-mass"}}] * 3}

    assert file_text({"exclude": [row]}).count("\n") == 6


def test_what_no_set_holds_is_refused() -> None:
    with pytest.raises(TypeError, match="holds no set"):
        value_text(set())
