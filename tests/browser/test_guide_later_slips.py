"""Which ways back count after a slip: the step's own only where all is settled again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from tests.browser.test_guide_logic import (
    BACK,
    GLOVES,
    SLIPPED,
    evaluated,  # noqa: F401  a fixture
)
from tests.fakes.guide_bundle import bundle, way

if TYPE_CHECKING:
    from collections.abc import Callable

LATER = "After the last way back, hands, line or field are not yet"
NEXT = [1000, "next", {}]
FIRST = [*SLIPPED, [500, "way", BACK]]
WORKED = {**way("touched", ["say", "hands"], "cover"), "steady": "cover"}
TABLE = {
    "of": {"scrub/touched": 0},
    "groups": [{"1": [0]}],
    "after": [{"dry": [0]}],
    "rows": [WORKED],
}


def ways_with(steady: str | None) -> dict[str, Any]:
    """Return the small bundle's ways, the first slip settled from a step on."""
    row = {**way("touched", GLOVES, "dry", gloves=1), "steady": steady}
    other = way("touched", ["say"], "cover")
    return {**bundle()["ways"], "scrub": [row], "dry": [other], "cover": [other]}


def look(evaluated: Callable[..., Any], log: list[Any], steady: str | None) -> Any:  # noqa: F811
    """Return where the run stands and the row of the slip there."""
    return evaluated(
        "return [bundle.steps[state.at].id, m.rowFor(state, bundle, 'touched')]",
        log,
        ways=ways_with(steady),
        ways_in_ways=TABLE,
    )


def test_during_a_way_back_the_row_of_its_act_counts(evaluated: Any) -> None:  # noqa: F811
    _, row = look(evaluated, [*FIRST, NEXT], "cover")

    assert (row["ending"], row["acts"]) == ("way-back", ["say", "hands"])


def test_an_act_without_a_row_is_a_stop(evaluated: Any) -> None:  # noqa: F811
    _, row = look(evaluated, [*FIRST, NEXT, NEXT], "cover")

    assert row["ending"] == "stop"


def test_a_step_that_is_settled_has_its_own_ways(evaluated: Any) -> None:  # noqa: F811
    back_at_dry = [*FIRST, *([NEXT] * 5)]

    here, row = look(evaluated, back_at_dry, "dry")

    assert (here, row["acts"], row["ending"]) == ("dry", ["say"], "way-back")


def test_until_then_the_ways_worked_out_for_it_count(evaluated: Any) -> None:  # noqa: F811
    here, row = look(evaluated, [*FIRST, *([NEXT] * 5)], "cover")

    assert (here, row["acts"]) == ("dry", ["say", "hands"])


@pytest.mark.parametrize(
    ("nexts", "steady", "here"), [(5, None, "dry"), (4, "cover", "scrub")]
)
def test_where_none_was_worked_out_it_is_a_stop(
    evaluated: Any,  # noqa: F811
    nexts: int,
    steady: str | None,
    here: str,
) -> None:
    table = {**TABLE, "after": [{}]}
    place, row = evaluated(
        "return [bundle.steps[state.at].id, m.rowFor(state, bundle, 'touched')]",
        [*FIRST, *([NEXT] * nexts)],
        ways=ways_with(steady),
        ways_in_ways=table,
    )

    assert (place, row["ending"]) == (here, "stop")
    assert row["because"].startswith(LATER)


def test_its_own_step_done_anew_counts_as_settled_if_nothing_else_is(
    evaluated: Any,  # noqa: F811
) -> None:
    here, row = look(evaluated, [*FIRST, *([NEXT] * 4)], "dry")

    assert (here, row["acts"]) == ("scrub", GLOVES)


@pytest.mark.parametrize(("steady", "ending"), [("cover", "way-back"), (None, "stop")])
def test_after_a_second_way_back_only_a_settled_step_has_its_ways(
    evaluated: Any,  # noqa: F811
    steady: str | None,
    ending: str,
) -> None:
    second = {"kind": "way-back", "acts": ["say", "hands"], "then": "cover"}
    log = [*FIRST, *([NEXT] * 5), [1000, "slip", {"slip": "touched"}]]
    log += [[500, "way", second], NEXT, NEXT, NEXT]
    here, row = evaluated(
        "return [bundle.steps[state.at].id, m.rowFor(state, bundle, 'touched')]",
        log,
        ways=ways_with(None),
        ways_in_ways={**TABLE, "rows": [{**WORKED, "steady": steady}]},
    )

    assert (here, row["ending"]) == ("cover", ending)
