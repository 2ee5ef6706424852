"""No account, whatever it holds, breaks the reader: it is read, or every fault is named."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from tests.fakes.account import VALUES, account_of
from tests.unit.ward.guide.test_entries import Ward

from lumenkeep.errors import ChartError, Fault
from lumenkeep.ward.guide.account.read import Account, digest_of, read_account

KEYS = st.sampled_from(
    [
        "format", "run", "tablet", "started_at", "ended_at", "ending", "operator",
        "assistant", "confirmed", "acknowledged_mark", "values", "steps", "slips",
        "pauses", "clock_jumps", "bare_seconds", "remarks", "sent_at", "edits",
        "id", "began_at", "seconds", "early", "looked", "slip", "step", "at", "way",
        "person", "answer", "spares",
    ]
)  # fmt: skip
LEAVES = (
    st.none()
    | st.booleans()
    | st.integers()
    | st.just(10**400)
    | st.floats()
    | st.text(max_size=5)
    | st.sampled_from(["done", "2026-11-25T18:00:00+00:00", "2026-11-25", "yes", 1])
)
ANYTHING = st.recursive(
    LEAVES,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=6)
    ),
    max_leaves=20,
)


def faults_of(sent) -> list[Fault] | None:
    """Return what is wrong with an account; None where it is read."""
    try:
        found = read_account(sent, "run-1")
    except ChartError as error:
        return list(error.faults)
    return None if isinstance(found, Account) else []


@given(st.dictionaries(KEYS, ANYTHING))
def test_any_table_is_read_or_refused_in_words(sent) -> None:
    faults = faults_of(sent)

    assert faults is None or faults
    assert all(f.code == "guide-bad-account" and f.where for f in faults or ())


@given(st.dictionaries(KEYS, ANYTHING), st.text(), st.text())
def test_when_and_from_where_it_is_sent_make_no_other_account(sent, tablet, at) -> None:
    again = {**sent, "tablet": tablet, "sent_at": at, "acknowledged_mark": at}

    assert digest_of(sent) == digest_of(again)


@lru_cache(maxsize=1)
def opened() -> tuple[Ward, dict[str, Any]]:
    ward = Ward()
    return ward, account_of(ward.open("dressing-change"))


@given(
    st.dictionaries(
        st.sampled_from([*VALUES, "noted-count", "chart-problems", "odd"]),
        ANYTHING,
    ),
    st.sampled_from(["done", "stopped", "left"]),
)
def test_whatever_is_called_out_is_charted_or_refused_in_words(values, ending) -> None:
    ward, account = opened()
    entries, forms = list(ward.chart.written_entries), dict(ward.chart.forms)
    told, kept = list(ward.runs.told), dict(ward.runs.kept)
    sent = {**account, "ending": ending, "values": {**account["values"], **values}}
    try:
        assert ward.send(sent).status == "written"
    except ChartError as error:
        faults = error.faults
        assert all(fault.what and fault.mend for fault in faults)
    finally:
        ward.chart.written_entries, ward.chart.forms = entries, forms
        ward.runs.told, ward.runs.kept = told, kept
