"""Spares: no smaller set will do, and no single slip sends anybody out of the room."""

from __future__ import annotations

from itertools import combinations_with_replacement

import pytest
from tests.asepsis_faults.orders import stage
from tests.property.test_way_back import ways_back

from lumenkeep.core.asepsis.spares import spares_for
from lumenkeep.core.asepsis.way_back import WaysBack
from lumenkeep.core.rehearsal.rehearse import named_branches


def stops(ways: WaysBack) -> set[tuple[str, str]]:
    """Return the slips that send somebody out of the room, by step."""
    return {
        (row.step, row.slip.id)
        for row in ways.table()
        if row.slip.ending == "way-back" and row.ending != "way-back"
    }


@pytest.mark.timeout(60)
@pytest.mark.parametrize("name", ["gloves, scrub, cover", "securement", "open hub"])
def test_no_smaller_set_will_do(name: str) -> None:
    ways = ways_back(name)
    found = spares_for(ways.bedside, ways.branch)
    pieces = sum(count for _, count in found.items)
    items = [item for item, _ in found.items]
    hopeless = stops(
        WaysBack(ways.bedside, ways.branch, dict.fromkeys(ways.branch.items, 9))
    )

    assert stops(WaysBack(ways.bedside, ways.branch, dict(found.items))) == hopeless
    for chosen in combinations_with_replacement(items, pieces - 1):
        fewer = {item: chosen.count(item) for item in set(chosen)}
        assert stops(WaysBack(ways.bedside, ways.branch, fewer)) != hopeless, fewer


@pytest.mark.timeout(60)
@pytest.mark.parametrize("procedure", ["connector-change", "set-change"])
def test_with_the_spares_no_single_slip_sends_anybody_out(procedure: str) -> None:
    here = stage()
    for branch in named_branches(here.procedure(procedure), here):
        found = spares_for(here.bedside, branch)

        assert stops(WaysBack(here.bedside, branch, dict(found.items))) == set()
        assert found.order[-1].items == found.items
        assert found.order[-1].share == 1
        shares = [further.share for further in found.order]
        assert shares == sorted(shares)


@pytest.mark.timeout(60)
def test_what_a_further_spare_buys_follows_how_often_a_slip_happens() -> None:
    here = stage()
    branch = named_branches(here.procedure("connector-change"), here)[0]
    alike = spares_for(here.bedside, branch)
    often = {slip.id: 1 for slip in here.bedside.slips} | {"tip-touched": 1000}
    weighed = spares_for(here.bedside, branch, often)

    assert alike.items == weighed.items
    assert weighed.order[0].items == (("connector", 1),)
    assert weighed.order[0].share > 0.9
