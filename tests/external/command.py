"""Ask the ``lumenkeep`` command about a case, the way another program would."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from lumenkeep.cli.main import main

SETS = Path(__file__).parent / "sets"
BORN = datetime(2026, 1, 10, 10, 0, tzinfo=UTC)


def set_folder(name: str) -> str:
    """Return the folder of one of the tests' own sets."""
    return str(SETS / name)


@dataclass(frozen=True)
class Answer:
    """What the command said, and its exit code."""

    code: int
    said: dict[str, Any]

    @property
    def agent(self) -> str | None:
        way = self.said["antiseptic"]
        return way["agent"] if way else None

    def bars(self, agent: str) -> set[str]:
        """Return the ids of the rules that bar an antiseptic."""
        return {e["rule"] for e in self.said["excluded"] if e["agent"] == agent}

    def keeps_off(self, item: str) -> set[str]:
        """Return the ids of the rules that bar a dressing or a bath."""
        return {e["rule"] for e in self.said["not_for_this_child"] if e["item"] == item}

    def cautions_of(self, source: str) -> list[str]:
        return [text for text in self.said["cautions"] if f"({source}," in text]

    def disputes(self) -> set[str]:
        return {dispute["id"] for dispute in self.said["disagreements"]}

    def task(self, name: str) -> dict[str, Any]:
        [found] = [task for task in self.said["tasks"] if task["task"] == name]
        return found

    def tasks(self) -> set[str]:
        return {task["task"] for task in self.said["tasks"]}


def ask(
    command: str, case: dict[str, Any], at: datetime | str, policy: str = "quillmere"
) -> Answer:
    """Return the answer of ``lumenkeep plan`` or ``due`` to a case on its input."""
    moment = at if isinstance(at, str) else at.isoformat()
    words = [command, "-", "--json", "--at", moment, "--policy", policy]
    result = CliRunner().invoke(main, words, input=json.dumps(case))
    assert result.stderr == "", result.stderr
    return Answer(result.exit_code, json.loads(result.stdout))


def plan(case: dict[str, Any], at: datetime | str, policy: str = "quillmere") -> Answer:
    return ask("plan", case, at, policy)


def due(case: dict[str, Any], at: datetime | str, policy: str = "quillmere") -> Answer:
    return ask("due", case, at, policy)


def baby(
    gestation: str | None,
    mass: float | None,
    *,
    born: datetime | str = BORN,
    weighed: datetime | None = None,
    **more: Any,
) -> dict[str, Any]:
    """Return a case with nothing unusual about it but what is given."""
    birth = born if isinstance(born, str) else born.isoformat()
    weighed = weighed or (BORN if isinstance(born, str) else born)
    child: dict[str, Any] = {
        "born": birth,
        "gestation_at_birth": gestation,
        "sensitivities": [],
        "skin_at_site": "intact",
    }
    if mass is not None:
        child["weights"] = [{"at": weighed.isoformat(), "g": mass}]
    line: dict[str, Any] = {
        "kind": "picc",
        "site": "upper-arm",
        "dressing": {"findings": []},
    }
    for key, value in more.items():
        (child if key in ("sensitivities", "skin_at_site", "unit") else line)[key] = (
            value
        )
    return {"child": child, "line": line}


def child_of(years: int, **more: Any) -> tuple[dict[str, Any], datetime]:
    """Return a child born at term some years before the instant returned."""
    at = datetime(2026, 3, 5, 9, 0, tzinfo=UTC)
    born = at.replace(year=at.year - years) - timedelta(days=40)
    return baby("39w0d", 3500.0 + 2000 * years, born=born, weighed=at, **more), at


def day(number: int, *, hours: int = 2) -> datetime:
    """Return an instant on a day of life of a child born at ``BORN`` (birth day: 0)."""
    return BORN + timedelta(days=number, hours=hours)
