"""Any substance can be charted, and what was charted before is not lost on the way."""

from __future__ import annotations

import pytest
from tests.fakes.by_hand import chart_fact
from tests.fakes.chart import ShippedPolicies, chart_with_a_line
from tests.fakes.clock import FixedClock

from lumenkeep.core.model.allergy import SaidAllergy
from lumenkeep.errors import ChartError
from lumenkeep.ward.chart.charting.substances import (
    others_before,
    read_substances,
    words_before,
)
from lumenkeep.ward.site.typed_values import Typed

POLICIES = ShippedPolicies()
PENICILLIN = SaidAllergy("penicillin", "rash", "mild")


@pytest.fixture
def clock() -> FixedClock:
    return FixedClock()


@pytest.fixture
def chart(clock):
    return chart_with_a_line(clock)


def read(typed: dict[str, str], before=()):
    form = Typed(typed)
    rows = read_substances(form, before)
    form.raise_faults()
    return rows


def test_any_substance_can_be_charted_with_what_happened_and_how_severe() -> None:
    rows = read(
        {
            "other-substance": "honey plaster",
            "other-happened": "blisters",
            "other-severity": "severe",
            "other-touches": "yes",
        }
    )

    assert rows == [
        {
            "substance": "honey plaster",
            "what_happened": "blisters",
            "severity": "severe",
            "touches_skin": True,
        }
    ]


def test_what_was_charted_before_stays_and_its_answer_settles_it() -> None:
    before = (SaidAllergy("iodine"), PENICILLIN)
    (name,) = others_before(before)

    (kept,) = read({name: "not-asked"}, before)
    (settled,) = read({name: "no"}, before)

    assert words_before(before) == ("iodine",)
    assert (kept["touches_skin"], settled["touches_skin"]) == (None, False)
    assert settled["what_happened"] == "rash"
    assert read({name: "not-so"}, before) == []
    assert (
        read({}, (SaidAllergy("nickel", touches_skin=False),))[0]["touches_skin"]
        is False
    )


def test_a_form_charts_any_substance_and_shows_it_again(chart, clock) -> None:
    typed = {"other-substance": "penicillin", "other-happened": "rash"}
    (first,) = chart_fact(
        chart, POLICIES, clock, line="l-1", fact="sensitivities", typed=typed, by="s-1"
    )
    told = chart.line("l-1").state.case.child.allergies.told
    (name,) = others_before(told)
    (second,) = chart_fact(
        chart, POLICIES, clock, line="l-1", fact="sensitivities", chosen=["iodine"],
        typed={name: "no"}, by="s-1",
    )  # fmt: skip

    assert first.body["other"][0]["substance"] == "penicillin"
    assert second.body["known"] == ["iodine"]
    assert second.body["other"] == [{**first.body["other"][0], "touches_skin": False}]
    assert chart.line("l-1").state.case.child.sensitivities == {"iodine"}


@pytest.mark.parametrize(
    ("typed", "where"),
    [
        ({"other-happened": "rash"}, "other-substance"),
        ({"other-substance": "nickel", "other-severity": "awful"}, "other-severity"),
    ],
)
def test_a_faulty_form_says_at_which_field(typed, where) -> None:
    with pytest.raises(ChartError) as caught:
        read(typed)

    assert [fault.where for fault in caught.value.faults] == [where]
