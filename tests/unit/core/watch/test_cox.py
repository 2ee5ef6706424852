"""What makes a hazard ratio doubtful comes back as a sentence."""

from __future__ import annotations

import pytest

from lumenkeep.core.watch.survival.counted import count
from lumenkeep.core.watch.survival.cox import CoxFit, cox
from lumenkeep.core.watch.survival.kaplan_meier import kaplan_meier, quantile
from lumenkeep.core.watch.survival.limits import normal_quantile
from lumenkeep.core.watch.survival.log_rank import compare_groups

TIMES = [1.0, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]


def fit(events: list[int], *columns: list[float]) -> CoxFit:
    rows = [list(row) for row in zip(*columns, strict=True)]
    return cox(TIMES, events, rows, [f"x{n}" for n in range(1, len(columns) + 1)])


def test_a_group_without_an_event_has_no_finite_ratio() -> None:
    found = fit([1] * 6 + [0] * 6, [0.0] * 6 + [1.0] * 6)

    assert any("'x1' parts those with events" in words for words in found.cautions)


def test_a_small_group_without_an_event_is_noticed_too() -> None:
    found = fit([1] * 11 + [0], [0.0] * 5 + [1.0] + [0.0] * 6)
    lone = fit([1, 1, 1, 0, 1, 1, 1, 1, 1, 1, 1, 1], [0.0] * 3 + [1.0] + [0.0] * 8)

    assert not any("parts" in words for words in found.cautions)
    assert any("parts" in words for words in lone.cautions)


@pytest.mark.parametrize(
    ("events", "columns", "says"),
    [
        ([0] * 12, [[0.0, 1.0] * 6], "No event was seen, so there is no hazard ratio."),
        (
            [1] * 12,
            [[1.0] * 12],
            "'x1' is the same for all, so it has no hazard ratio.",
        ),
        (
            [1] * 12,
            [[0.0, 1.0] * 6, [1.0, 0.0] * 6],
            "The covariates say the same thing twice, so none has a ratio of its own.",
        ),
    ],
)
def test_where_there_is_no_ratio_it_says_why(events, columns, says) -> None:
    found = fit(events, *columns)

    assert (found.effects, found.cautions) == ((), (says,))


def test_few_events_are_said() -> None:
    found = fit([1, 1, 0, 1] + [0] * 8, [0.0, 1.0, 0.0, 1.0] * 3)

    assert found.converged
    assert (
        found.cautions[-1] == "3 events for 1 ratio, fewer than 10 each: very unsure."
    )


def test_what_does_not_go_together_is_refused() -> None:
    with pytest.raises(ValueError, match="one row for each time"):
        cox(TIMES, [1] * 12, [[1.0]], ["x"])
    with pytest.raises(ValueError, match="one of: efron, breslow"):
        cox(TIMES, [1] * 12, [[1.0]] * 12, ["x"], "exact")
    with pytest.raises(ValueError, match="between 0 and 1"):
        normal_quantile(1.0)
    with pytest.raises(ValueError, match="weights must be one of"):
        compare_groups(TIMES, [1] * 12, [0, 1] * 6, "by eye")
    with pytest.raises(ValueError, match="0 or more"):
        compare_groups(TIMES, [1] * 12, [0, 1] * 6, "fleming-harrington", -1)
    with pytest.raises(ValueError, match="between 0 and 1"):
        quantile(kaplan_meier(count(TIMES, [1] * 12)), 1.0)


@pytest.mark.parametrize(
    ("times", "causes", "says"),
    [
        ([], [], "no time at all"),
        ([1.0, 2.0], [1], "do not go together"),
        ([1.0, -2.0], [1, 1], "0 or more"),
        ([1.0, float("nan")], [1, 1], "0 or more"),
        ([1.0, 2.0], [1, 0.5], "whole numbers"),
        ([1.0, 2.0], [1, -1], "whole numbers from 0"),
        ([1.0, 2.0], [1, 3], "whole numbers from 0 to 2"),
    ],
)
def test_times_that_would_count_wrongly_are_refused(times, causes, says) -> None:
    with pytest.raises(ValueError, match=says):
        count(times, causes, 2)


def test_groups_never_at_risk_together_cannot_be_compared() -> None:
    one = compare_groups([1.0, 2.0, 5.0, 6.0], [0, 0, 1, 1], [0, 0, 1, 1])

    assert (one.chi_square, one.p_value) == (None, None)
    assert one.caution
