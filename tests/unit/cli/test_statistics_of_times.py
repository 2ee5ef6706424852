"""Statistics of times by name: the sentence, letter by letter."""

from __future__ import annotations

import pytest
import scipy.special  # noqa: F401  its slow import belongs to no test's time

from lumenkeep.cli.stats.work_out import work_out_statistic
from lumenkeep.errors import InputError


@pytest.mark.parametrize(
    ("name", "words", "says"),
    [
        (
            "survival",
            "times=6,6,7,10 events=1,1,0,1",
            "3 of 4 ended; median 6.",
        ),
        (
            "survival",
            "times=6,9 events=0,0 at=10",
            (
                "0 of 2 ended; median not reached. Going on after 10: cannot be judged, none "
                "was watched that long."
            ),
        ),
        (
            "survival",
            "times=6,9 events=0,0 at=7",
            (
                "0 of 2 ended; median not reached. Going on after 7: 1.0000: 0.0250 to "
                "1.0000."
            ),
        ),
        ("incidence", "times=2,3 ends=2,1 cause=2", "1 of 2 ended by cause 2."),
        (
            "log-rank",
            "times=2,3 events=1,1 groups=4,4",
            (
                "There is nothing to compare. Fewer than two groups had anybody at risk at "
                "an event."
            ),
        ),
        (
            "cox",
            "times=2,3 events=1,1 x=1,1",
            (
                "There is no hazard ratio. 'x1' is the same for all, so it has no hazard "
                "ratio."
            ),
        ),
    ],
)
def test_a_statistic_of_times_says_what_it_found(name, words, says) -> None:
    assert work_out_statistic(name, words.split()).sentence == says


def test_two_covariates_are_given_row_by_row() -> None:
    found = work_out_statistic(
        "cox",
        ["times=2,3,4,5,6,7", "events=1,1,1,0,1,1", "x=0,1/1,0/0,0/1,1/1,0/0,1"],
    )

    assert [effect["name"] for effect in found.values["effects"]] == ["x1", "x2"]


@pytest.mark.parametrize(
    "words",
    ["times=2,3 events=1", "times=2,3 events=1,2", "times=-1 events=1", "events=1"],
)
def test_what_does_not_go_together_is_refused(words) -> None:
    with pytest.raises(InputError):
        work_out_statistic("survival", words.split())
