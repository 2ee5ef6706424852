"""Whatever a timeline file holds, the command answers or says what is wrong."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import scipy.stats  # noqa: F401 - its slow import belongs to no test's time
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from lumenkeep.cli.main import main
from lumenkeep.cli.stats.work_out import STATISTICS

SOUND = json.loads(
    (Path(__file__).parents[2] / "docs" / "examples" / "demo-timeline.json").read_text(
        "utf-8"
    )
) | {
    "devices": [{"kind": "ecmo", "from": "2025-03-12", "to": None}],
    "counts": [{"at": "2025-03-17", "kind": "anc", "per_mm3": 100}],
    "gut": [{"at": "2025-03-17", "kind": "stool", "ml_24h": 260, "mass_kg": 12}],
    "other_infections": [
        {
            "kind": "uti",
            "date_of_event": "2025-03-20",
            "window": ["2025-03-17", "2025-03-23"],
            "organisms": ["E. coli"],
            "blood_is_element": False,
        }
    ],
    "findings": [
        {
            "at": "2025-03-18",
            "kind": "pus",
            "vascular_site": "midline",
            "organisms": ["CoNS"],
        }
    ],
}

values = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(-(10**20), 10**20),
        st.floats(),
        st.text(max_size=12),
        st.sampled_from(
            [
                "2025-03-18",
                "2025-02-30",
                "0001-01-01",
                "9999-12-31",
                "2025-03-18T06:30",
                "S. aureus (MRSA)",
                "()",
                "sp.",
                "1 of 2",
                "blood",
            ]
        ),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(st.text(max_size=8), inner, max_size=3),
    ),
    max_leaves=6,
)


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Return the path of every place in a value."""
    found = [path] if path else []
    if isinstance(value, dict):
        inner = value.items()
    elif isinstance(value, list):
        inner = enumerate(value)
    else:
        return found
    return found + [p for key, item in inner for p in places(item, (*path, key))]


@given(st.data())
def test_a_timeline_with_places_overwritten(data: st.DataObject) -> None:
    broken = copy.deepcopy(SOUND)
    for _ in range(data.draw(st.integers(1, 3))):
        path = data.draw(st.sampled_from(places(broken)))
        target: Any = broken
        for key in path[:-1]:
            target = target[key]
        target[path[-1]] = data.draw(values)
        if not places(broken):
            break
    result = CliRunner().invoke(
        main, ["determine", "-", "--json"], input=json.dumps(broken)
    )

    assert result.exit_code in (0, 2), result.exception
    if result.exit_code == 0:
        assert "events" in json.loads(result.stdout)
    else:
        assert result.stdout == ""
        assert "where:" in result.stderr


def no_constant(word: str) -> None:
    """Refuse what JSON has no word for."""
    raise AssertionError(word)


@given(st.data())
def test_a_statistic_with_any_arguments(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(sorted(STATISTICS)))
    words = [name]
    numbers = st.sampled_from(
        ["0", "1", "2", "0.5", "7", "1000", "-1", "1e9", "0,0", "1,2,3", "9,1,4,2", "S"]
    )
    for parameter in STATISTICS[name].parameters:
        is_asked_for = parameter.is_needed and parameter.default is None
        if is_asked_for or data.draw(st.booleans()):
            text = data.draw(numbers)
            if parameter.kind == "table":
                text = f"{text}/{text}"
            words.append(f"{parameter.name}={text}")
    result = CliRunner().invoke(main, ["stats", *words, "--json"])

    assert result.exit_code in (0, 2), (words, result.exception)
    if result.exit_code == 0:
        json.loads(result.stdout, parse_constant=no_constant)
