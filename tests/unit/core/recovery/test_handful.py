"""A handful of spares and one kit: as good as all of them, and the same in the guide."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from tests.fakes.at_ward import PEOPLE
from tests.unit.core.recovery.test_plan_spares import Remembered, asked, shown
from tests.unit.ward.guide.test_entries import Ward

from lumenkeep.core.asepsis.way_back import WaysBack
from lumenkeep.core.model import People, Person
from lumenkeep.core.planning import plan_change
from lumenkeep.core.recovery.handful import (
    MOST,
    Beside,
    Handful,
    beside,
    handful,
    spares_of,
)
from lumenkeep.core.recovery.lay_out import KIT
from lumenkeep.core.recovery.plan_spares import (
    ENOUGH,
    SparesAsked,
    spares_asked,
    spares_in_plan,
)
from lumenkeep.ward.chart.line_at_hand import line_at_hand
from lumenkeep.ward.guide.bundle.assemble import with_ways

SLIPS = [
    {"items": {"gloves": 1}, "often": 40},
    {"items": {"field": 1, "drape": 1, "swab": 3}, "often": 35},
    {"items": {"swab": 3}, "often": 15},
    {"items": {"gauze": 2}, "often": 5},
    {"items": {}, "often": 5},
]
ALL = {"gloves": 1, "field": 1, "drape": 1, "swab": 3, "gauze": 2}


def of(there: dict[str, int], kit: dict[str, int] | None, *own: str) -> Handful:
    return handful(ALL, SLIPS, Beside(there, kit, own))


def test_what_no_kit_holds_lies_beside_it_first() -> None:
    few = of({"gauze": 2}, {"field": 1, "drape": 1}, "gloves", "swab")

    assert few.loose == {"gloves": 1, "swab": 3, "field": 1, "drape": 1}
    assert few.kit == {}
    assert (few.covers, few.covers_closed) == (1.0, 1.0)


def test_what_lies_there_anyway_is_not_laid_out_again() -> None:
    assert "gauze" not in of({"gauze": 2}, None).loose


def test_a_kit_that_holds_too_few_leaves_the_rest_to_be_laid_out() -> None:
    many = {f"thing-{number}": 1 for number in range(8)}
    slips = [{"items": {"gauze": 5, **many}, "often": 1}]
    few = handful({"gauze": 5, **many}, slips, Beside({}, {"gauze": 4, **many}, ()))

    assert "gauze" in few.loose
    assert few.covers == 1.0


def test_more_than_can_be_seen_at_a_glance_is_never_proposed() -> None:
    many = {f"thing-{number}": 1 for number in range(9)}
    slips = [{"items": {name: 1}, "often": 1} for name in many]
    few = handful(many, slips, Beside({}, {}, tuple(many)))

    assert len(few.loose) == MOST
    assert few.covers == pytest.approx(5 / 9)


@pytest.mark.parametrize("set_name", ["quillmere", "us-guideline", "uk-guideline"])
@pytest.mark.parametrize("known", [(), ("chlorhexidine",)])
def test_the_handful_and_the_kit_mend_every_slip(
    set_name: str, known: tuple[str, ...]
) -> None:
    one = asked(set_name, sensitivities=known, unit="ward")
    assert isinstance(one, SparesAsked)
    found = spares_of(one.stage, one.branch)
    by = beside(one.stage, one.branch, one.plan)
    few = handful(found["items"], found["wants"], by)
    rows = WaysBack(one.stage.bedside, one.branch, few.counts(by.there)).table()

    assert few.covers == 1.0
    assert {row.slip.id for row in rows if row.ending != row.slip.ending} == set()
    assert len(few.loose) + bool(few.kit) <= MOST


def test_the_plan_proposes_a_handful_and_says_what_stays_closed() -> None:
    laid = shown().handful

    assert 0 < len(laid) <= MOST
    assert laid[-1].item == KIT
    assert laid[-1].because.startswith("For the rest, of which it holds ")
    assert "Gauze pack that is always in the room" not in {one.label for one in laid}
    assert shown().says == ENOUGH
    assert shown().kit_says.endswith("are mended without opening the kit.")
    assert all(line.because and line.source for line in laid)


def ways_of(one: SparesAsked) -> dict[str, Any]:
    found = spares_of(one.stage, one.branch)
    rest = {"acts": {}, "slips": {}, "ways": {}, "stop": {"acts": []}}
    return {"spares": found["items"], "least": found["items"], **found, **rest}


def test_the_guide_lays_out_the_plan_s_handful() -> None:
    ward = Ward()
    ward.open("dressing-change", soil="no", securement="keep")
    found = line_at_hand(ward.at, "l-1")
    gloves = People(Person(PEOPLE["s-flint"].glove), Person(PEOPLE["s-garnet"].glove))
    case = replace(found.record.state.case, people=gloves)
    plan = plan_change(case, ward.clock.at, found.policy)
    one = spares_asked(found.policy, case, plan)
    assert isinstance(one, SparesAsked)
    bundle = with_ways(ward.runs.kept["run-1"].head, ways_of(one))

    assert [row["item"] for row in bundle["lay_out"] if row["spare"]] == [
        line.item for line in spares_in_plan(one, Remembered()).handful
    ]
    assert "beside" not in bundle
    every = spares_of(one.stage, one.branch)["items"]
    assert all(bundle["spares"][item] >= count for item, count in every.items())


def test_where_five_things_do_not_do_the_answer_says_how_far_they_do() -> None:
    """A newborn's branch soaks a drape more, and iodine takes more gauze."""
    one = asked(sensitivities=("chlorhexidine",), unit="newborn-intensive-care")
    assert isinstance(one, SparesAsked)
    found = spares_in_plan(one, Remembered())

    assert 0.5 < found.covers < 1
    assert found.says.startswith("With these, ")
    assert found.says.endswith(" of 100 slips send nobody out of the room.")
