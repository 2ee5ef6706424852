"""Shrinkage and funnel at their ends: many units, and units of which nothing is expected."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
import scipy.optimize
from click.testing import CliRunner

from lumenkeep.cli.main import main
from lumenkeep.core.outcomes.statistics.funnel import over_dispersion, ratio_limits
from lumenkeep.core.outcomes.statistics.shrinkage import shrink, shrink_by_moments


@pytest.mark.parametrize("seed", [12, 13])
def test_the_search_comes_to_rest_for_a_thousand_units(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Seed 12 ran to its last step: a sum over all units never holds still to 1e-12."""
    found = []
    search = scipy.optimize.minimize

    def seen(*told, **more):
        found.append(search(*told, **more))
        return found[-1]

    monkeypatch.setattr(scipy.optimize, "minimize", seen)
    rng = np.random.default_rng(seed)
    expected = rng.gamma(2, 2, 1000) + 0.05
    observed = rng.poisson(expected * rng.gamma(4, 1 / 4, 1000))

    shrunk = shrink(list(observed), list(expected))

    assert all(one.success and one.nit < 1000 for one in found)
    assert 3 < shrunk.a < 5  # made with a shape of 4


@pytest.mark.parametrize(
    "ask",
    [
        lambda: shrink([1, 0], [1.0, 0.0]),
        lambda: shrink_by_moments([1, 0], [1.0, 0.0]),
        lambda: over_dispersion([1, 0], [1.0, 0.0]),
        lambda: ratio_limits(0.0),
    ],
)
def test_a_unit_of_which_nothing_is_expected_is_no_silent_nan(ask) -> None:
    with pytest.raises(ValueError, match="nothing is expected"):
        ask()


def stats(*words: str) -> str:
    result = CliRunner().invoke(main, ["stats", *words])
    assert result.exit_code == 0, result.stderr
    return result.stdout


@pytest.mark.parametrize(
    "rules", ["+".join(c) for n in range(1, 5) for c in combinations("1234", n)]
)
def test_any_choice_of_run_rules_works(rules: str) -> None:
    said = stats("run-rules", f"rules={rules}", "z=0.1,3.5")

    assert said.startswith("A false signal about every ")
    assert ("beyond-3" in said) is ("1" in rules)


def test_a_ratio_that_has_no_finite_value_is_no_headline() -> None:
    """All with events on one side: the ratio runs away, whatever number it stops at."""
    said = stats("cox", "times=1,2,3,4", "events=1,1,0,0", "x=0,0,1,1")

    assert said.startswith("Hazard ratio x1 cannot be estimated. ")
    assert "e+" not in said.splitlines()[0]


def test_use_above_one_is_remarked() -> None:
    assert "Above 1 it cannot be" in stats("utilisation", "line_days=5", "child_days=4")
    assert "Above" not in stats("utilisation", "line_days=4", "child_days=4")
