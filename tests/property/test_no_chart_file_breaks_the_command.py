"""Whatever a chart file holds, the command answers or says what is wrong."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.chart_rows import charts

from lumenkeep.cli.main import main
from lumenkeep.core.entries import every_kind

pytestmark = pytest.mark.timeout(120)
AT = ("--at", "2026-11-30T08:00:00+00:00", "--json")
junk = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(-(10**20), 10**20),
        st.floats(),
        st.text(max_size=12),
        st.sampled_from(
            (*every_kind(), "2026-11-20", "2026-11-20T08:00", "9999-12-31T23:59Z",
             "0001-01-01T00:00+14:00", "c-1", "l-1", "27w3d", 10**400, "pus:1")
        ),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(st.text(max_size=8), inner, max_size=3),
    ),
)  # fmt: skip


def run(raw: bytes) -> None:
    result = CliRunner().invoke(main, ["chart", "read", "-", *AT], input=raw)

    assert result.exception is None or isinstance(result.exception, SystemExit), (
        result.exception
    )
    assert result.exit_code in (0, 2), result.output
    if result.exit_code == 2:
        assert result.stdout == ""
        assert "[chart-file-" in result.stderr
    else:
        assert set(json.loads(result.stdout)) == {"at", "lines"}


@settings(max_examples=80, deadline=None)
@given(charts(6), st.data())
def test_a_spoiled_value_is_answered_or_told(rows: Any, data: st.DataObject) -> None:
    rows = copy.deepcopy(rows)
    one = data.draw(st.sampled_from(rows))
    table = one["body"] if one["body"] and data.draw(st.booleans()) else one
    table[data.draw(st.sampled_from(sorted(table)))] = data.draw(junk)

    run("".join(json.dumps(row) + "\n" for row in rows).encode())


@settings(max_examples=60, deadline=None)
@given(st.lists(junk, max_size=3))
def test_junk_is_told(lines: list[Any]) -> None:
    run("".join(json.dumps(one) + "\n" for one in lines).encode())


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=60))
def test_bytes_are_told(raw: bytes) -> None:
    run(raw)
