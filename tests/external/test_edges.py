"""Limits to the minute, the day and the gram, by common practice."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.external.command import BORN, baby, day, plan

pytestmark = pytest.mark.external

WEEK = timedelta(hours=168)
MINUTE = timedelta(minutes=1)
LUMENKEEP = Path(sys.executable).with_name("lumenkeep")


@pytest.mark.parametrize(
    ("gestation", "agent"),
    [
        ("28w0d", "chlorhexidine-alcohol"),
        ("27w6d", "povidone-iodine"),
        ("28w", "chlorhexidine-alcohol"),
        ("27w", "povidone-iodine"),
    ],
)
def test_gestation_counts_to_the_day(gestation: str, agent: str) -> None:
    """Common practice: under 28 weeks at birth; whole weeks may be any of their days."""
    assert plan(baby(gestation, 1200), day(9)).agent == agent


@pytest.mark.parametrize(
    ("grams", "agent"),
    [
        (1000, "chlorhexidine-alcohol"),
        (1000.0, "chlorhexidine-alcohol"),
        (999.9, "povidone-iodine"),
        (999, "povidone-iodine"),
    ],
)
def test_mass_counts_to_the_gram_and_below(grams: float, agent: str) -> None:
    """Common practice: under 1000 g."""
    assert plan(baby("30w0d", grams), day(9)).agent == agent


@pytest.mark.parametrize(
    ("off", "agent"),
    [
        (-MINUTE, "povidone-iodine"),
        (timedelta(seconds=-1), "povidone-iodine"),
        (timedelta(), "chlorhexidine-alcohol"),
        (MINUTE, "chlorhexidine-alcohol"),
    ],
)
def test_age_counts_to_the_minute(off: timedelta, agent: str) -> None:
    """Common practice: under 7 days, counted as 7 × 24 hours."""
    assert plan(baby("30w0d", 1200), BORN + WEEK + off).agent == agent


@pytest.mark.parametrize(
    ("born", "at"),
    [
        ("2025-03-05T09:00:00-05:00", "2025-03-12T10:00:00-04:00"),
        ("2025-10-29T09:00:00-04:00", "2025-11-05T08:00:00-05:00"),
    ],
    ids=["clocks go forward", "clocks go back"],
)
def test_seven_days_of_age_are_168_hours_across_a_clock_change(
    born: str, at: str
) -> None:
    """Arithmetic: the skin knows nothing of the clock on the wall."""
    case = baby("30w0d", 1200, born=born) | {"zone": "America/New_York"}
    case["child"]["weights"][0]["at"] = born
    exact = datetime.fromisoformat(at)

    assert plan(case, exact).agent == "chlorhexidine-alcohol"
    assert plan(case, exact.astimezone(UTC) - MINUTE).agent == "povidone-iodine"


@pytest.mark.parametrize(
    ("born", "ends"),
    [
        ("2026-01-10T10:00:00-06:00", "2026-03-10T10:00:00-05:00"),
        ("2025-12-31T23:30:00-06:00", "2026-02-28T23:30:00-06:00"),
        ("2023-12-31T23:30:00-06:00", "2024-02-29T23:30:00-06:00"),
    ],
    ids=["over a clock change", "to the end of February", "to leap day"],
)
def test_the_gestation_rule_ends_at_two_calendar_months(born: str, ends: str) -> None:
    """Common practice, with the end that the demo hospital names."""
    case = baby("26w0d", 1800, born=born) | {"zone": "America/Chicago"}
    case["child"]["weights"][0]["at"] = born
    end = datetime.fromisoformat(ends).astimezone(UTC)

    before, then = plan(case, end - MINUTE), plan(case, end)

    assert before.bars("chlorhexidine-alcohol") == {"chg-gestation"}
    assert then.agent == "chlorhexidine-alcohol"
    assert ends in [c.get("at") for c in before.said["changes_later"]]


def test_a_birth_date_without_time_is_asked_for_next_to_a_limit() -> None:
    """Common practice: a date leaves the age open by up to a day."""
    case = baby("30w0d", 1200, born="2026-01-10", weighed=day(2))

    for at in (
        datetime(2026, 1, 17, 0, 1, tzinfo=UTC),
        datetime(2026, 1, 17, 12, 0, tzinfo=UTC),
        datetime(2026, 1, 17, 23, 59, tzinfo=UTC),
    ):
        answer = plan(case, at)
        assert (answer.code, answer.agent) == (3, None)
        assert [q["ask"] for q in answer.said["questions"] if q["blocks"]] == [
            "At what time of day was the child born?"
        ]
        assert answer.said["until_known"] == "povidone-iodine"


@pytest.mark.parametrize(
    ("at", "agent"),
    [
        (datetime(2026, 1, 16, 23, 59, tzinfo=UTC), "povidone-iodine"),
        (datetime(2026, 1, 18, 0, 0, tzinfo=UTC), "chlorhexidine-alcohol"),
        (datetime(2026, 1, 25, 12, 0, tzinfo=UTC), "chlorhexidine-alcohol"),
    ],
)
def test_a_birth_date_without_time_is_enough_away_from_limits(
    at: datetime, agent: str
) -> None:
    """Common practice: elsewhere the time of birth does not matter."""
    case = baby("30w0d", 1200, born="2026-01-10", weighed=day(2))

    answer = plan(case, at)

    assert (answer.code, answer.agent) == (0, agent)
    assert not [q for q in answer.said["questions"] if q["blocks"]]


def test_a_birth_date_is_a_day_of_the_wards_zone() -> None:
    """Arithmetic: a day in Auckland is over when it begins in Chicago."""
    case = baby("30w0d", 1200, born="2026-01-10", weighed=day(2))
    at = datetime(2026, 1, 17, 12, 0, tzinfo=UTC)

    auckland = plan(case | {"zone": "Pacific/Auckland"}, at)
    chicago = plan(case | {"zone": "America/Chicago"}, at)

    assert auckland.agent == "chlorhexidine-alcohol"
    assert chicago.code == 3
    assert plan(case | {"zone": "America/Chicago"}, at - timedelta(hours=7)).code == 0


def run(words: list[str], case: dict[str, Any]) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [LUMENKEEP, *words],
        input=json.dumps(case),
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.timeout(30)
@pytest.mark.parametrize(
    ("gestation", "mass", "sensitivities", "code", "verdict"),
    [
        ("28w0d", 1000, [], 0, "plan"),
        (None, 1000, [], 3, "ask"),
        ("28w0d", 1000, ["chlorhexidine", "iodine"], 4, "stop"),
    ],
)
def test_the_installed_command_answers_with_its_exit_code(
    gestation: str | None,
    mass: float,
    sensitivities: list[str],
    code: int,
    verdict: str,
) -> None:
    """Common practice, through the command as installed."""
    case = baby(gestation, mass, sensitivities=sensitivities)
    moment = day(7, hours=0).isoformat()

    result = run(["plan", "-", "--json", "--at", moment], case)

    assert (result.returncode, result.stderr) == (code, "")
    assert json.loads(result.stdout)["verdict"] == verdict


@pytest.mark.timeout(30)
def test_the_installed_command_tells_every_fault_and_leaves_with_2() -> None:
    """No document: the way a machine is told that its file is faulty."""
    case = {"child": {"gestation_at_birth": "28"}, "lin": {}}

    result = run(["due", "-", "--at", BORN.isoformat()], case)

    assert (result.returncode, result.stdout) == (2, "")
    assert result.stderr.count("  where: standard input: ") == 2
    assert "Traceback" not in result.stderr
