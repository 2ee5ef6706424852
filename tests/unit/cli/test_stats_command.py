"""The command that works out a statistic: answers, and every fault at once."""

from __future__ import annotations

import json

import pytest
import scipy.stats  # noqa: F401 - its slow import belongs to no test's time
from click.testing import CliRunner

from lumenkeep.cli.main import main
from lumenkeep.cli.stats.work_out import STATISTICS

GIVEN = {
    "poisson": "events=3 line_days=1500",
    "rate": "events=3 line_days=1500",
    "sir": "observed=29 predicted=52.58",
    "two-rates": "events1=41 line_days1=28010 events2=15 line_days2=19017",
    "wilson": "x=81 n=263",
    "newcombe": "x1=56 n1=70 x2=48 n2=80",
    "kappa": "table=20,5/10,15",
    "fleiss-kappa": "table=2,1/3,0/1,2",
    "utilisation": "line_days=1250 child_days=2000",
    "sample-size": "share=0.6 half_width=0.1",
    "u-chart": "events=3,1,0 line_days=612,580,541 limits=probability",
    "u-prime-chart": "events=3,1,0 line_days=612,580,541",
    "p-chart": "events=3,1,0 sizes=10,20,30",
    "p-prime-chart": "events=3,1,0 sizes=10,20,30",
    "c-chart": "events=3,1,0",
    "g-chart": "gaps=12,45,3",
    "t-chart": "times=12,45,3",
    "run-rules": "rules=1+2 z=0,2.5,2.4",
    "cusum": "p0=0.05 p1=0.10 path=SSF",
    "rate-cusum": "events=1,3,4 expected=1,1,1 ratio=2 h=2",
    "funnel": "predicted=2,5 observed=1,9",
    "shrinkage": "observed=0,9,4 predicted=1.2,4.2,2.5",
    "segmented": "events=4,6,5,5,2,3,2,3 line_days=9,9,9,9,9,9,9,9 change=5",
    "survival": "times=6,6,7,10 events=1,1,0,1 at=7",
    "incidence": "times=2,3,5,7 ends=1,2,0,1 at=6",
    "log-rank": "times=6,6,7,10 events=1,1,0,1 groups=1,2,1,2 weights=gehan",
    "cox": "times=6,6.5,7,10 events=1,1,0,1 x=1,0,1,0",
}


def run(words: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(main, ["stats", *words.split()])
    return result.exit_code, result.stdout, result.stderr


def test_every_statistic_is_tried() -> None:
    assert sorted(GIVEN) == sorted(STATISTICS)


@pytest.mark.parametrize("name", sorted(GIVEN))
def test_a_statistic_answers_in_words_and_in_json(name: str) -> None:
    code, said, _ = run(f"{name} {GIVEN[name]}")
    value = json.loads(run(f"{name} {GIVEN[name]} --json")[1])

    assert code == 0
    assert value["statistic"] == name
    assert said.startswith(value["sentence"])
    assert STATISTICS[name].parameters


def test_all_faults_of_the_arguments_come_at_once() -> None:
    code, said, complained = run("sir observed=-1 predicted=many foo=3 lonely")

    assert (code, said) == (2, "")
    for word in (
        "argument-out-of-range",
        "argument-bad-value",
        "argument-unknown-key",
        "argument-no-value",
    ):
        assert f"[{word}]" in complained


@pytest.mark.parametrize(
    ("words", "code"),
    [
        ("poison events=3", "argument-unknown-statistic"),
        ("poisson", "argument-missing"),
        ("wilson x=1 x=2 n=3", "argument-twice"),
        ("wilson x=5 n=3", "argument-contradiction"),
        ("kappa a=1 b=2", "argument-contradiction"),
        ("u-chart events=1,2 line_days=3", "argument-contradiction"),
        ("segmented events=1,2 line_days=3,4 change=2", "argument-contradiction"),
        ("cusum p0=0.3 p1=0.1", "argument-contradiction"),
        ("poisson events=1.5", "argument-bad-value"),
        ("poisson events=nan", "argument-bad-value"),
    ],
)
def test_a_fault_is_named(words: str, code: str) -> None:
    exit_code, _, complained = run(words)

    assert exit_code == 2
    assert f"[{code}]" in complained


def test_other_kinds_of_cumulative_sum() -> None:
    learned = json.loads(
        run("cusum kind=learning p0=0.10 p1=0.20 h=1.25 path=SSFSSSSF --json")[1]
    )
    followed = run("cusum kind=monitoring p0=0.1 p1=0.2 h=2 path=SFSSFSFFSS")[1]
    normal = run("cusum kind=normal")[1]

    assert learned["signal_at"] is None
    assert followed.startswith("Signal at attempt 8.")
    assert normal.startswith("A signal about every 167.68 points.")
