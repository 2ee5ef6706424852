"""A breach names what moved and where, and shows the most ordinary child in words."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from tests.policy.own_set import OwnSet

from lumenkeep.cli.prove_command import breach_in_words
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.solver import Breach, prove_parts
from lumenkeep.text.policy.child import child_in_words

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

DAY = date(2026, 11, 30)
RULES = "quillmere/antisepsis.toml"
TURNED = ('mass = { below = "chg-mass" }', 'mass = { above = "chg-mass" }')


def safe_breaches(own: OwnSet) -> list[Breach]:
    parts = {part.name: part for part in prove_parts(own.read(), DAY)}
    return list(parts["safe"].breaches)


def named(breach: Breach) -> dict[str, str]:
    return {where: id_ for id_, where in breach.rules}


def test_a_turned_sign_is_named_with_its_number_and_file(tmp_path: Path) -> None:
    breaches = safe_breaches(OwnSet(tmp_path).swap(RULES, *TURNED))

    assert breaches
    for breach in breaches:
        told = named(breach)
        assert told[f"{RULES}: number.chg-mass"] == "chg-mass"
        assert any(
            where.startswith(f"{RULES}: exclude[") and id_ == "chg-mass"
            for where, id_ in told.items()
        )


def test_the_small_child_shown_is_one_born_early_and_else_ordinary(
    tmp_path: Path,
) -> None:
    own = OwnSet(tmp_path).swap(RULES, *TURNED)

    [breach] = [b for b in safe_breaches(own) if "Lighter than 1000 g" in b.says]

    shown = breach.shown_by
    assert shown is not None
    child, line = shown.case["child"], shown.case["line"]
    assert 650 <= child["weights"][0]["g"] < 1000
    assert child["gestation_at_birth"] < "31w"
    assert child["unit"] == "newborn-intensive-care"
    assert child["sensitivities"] == line["dressing"]["findings"] == []
    assert (child["skin_at_site"], line["kind"], line["lumens"]) == (
        "intact",
        "picc",
        1,
    )
    words = child_in_words(shown.case, shown.at)
    assert words.startswith("A child ")
    assert "Not known" not in words
    assert "in newborn intensive care. PICC, upper arm." in words


@pytest.mark.parametrize(
    ("change", "id_"),
    [
        (lambda own: own.later(RULES, "chg-mass", "2026-01-01", 500), "chg-mass"),
        (
            lambda own: own.later(
                "quillmere/dressing.toml", "dressing-gauze", "2026-01-01", 14
            ),
            "dressing-gauze",
        ),
    ],
)
def test_a_number_that_moved_is_named(
    tmp_path: Path, change: Callable[[OwnSet], OwnSet], id_: str
) -> None:
    breaches = safe_breaches(change(OwnSet(tmp_path)))

    assert breaches
    assert any(
        where.endswith(f": number.{id_}") for b in breaches for where in named(b)
    )
    for shown in (breach.shown_by for breach in breaches):
        assert shown is not None
        assert shown.case["child"]["sensitivities"] == []


@pytest.mark.parametrize(
    ("case", "at", "says"),
    [
        (
            {"child": {"born": "2026-01-01T00:00:00+00:00"}, "line": {}},
            "2026-03-01T23:59:00+00:00",
            "A child 59 days, 23 hours and 59 minutes old, of unknown weight.",
        ),
        (
            {
                "child": {
                    "born": "2020-02-29T08:00:00+00:00",
                    "weights": [{"at": "2026-02-28T08:00:00+00:00", "g": 19500}],
                    "unit": "ward",
                    "sensitivities": ["iodine", "alcohol"],
                },
                "line": {"kind": "port", "needle_in": True, "lumens": 2},
            },
            "2026-02-28T08:00:00+00:00",
            (
                "A child 6 years old, of 19.5 kg, on a ward. Implanted port, 2 lumens. "
                "Does not tolerate: iodine and alcohol. Needle in the port: yes."
            ),
        ),
        (
            {"child": {"born": "2026-01-01"}, "line": {"patency": "blocked"}},
            "2026-01-01T08:00:00+00:00",
            "A child 0 days old by the date, the time of birth not known",
        ),
        ({}, "2026-01-01T08:00:00+00:00", "A child of unknown age, of unknown weight."),
    ],
)
def test_a_child_is_said_as_a_nurse_would(
    case: dict[str, object], at: str, says: str
) -> None:
    assert child_in_words(case, at).startswith(says)


def test_what_is_not_known_is_named_and_what_is_ordinary_is_not() -> None:
    case = {
        "child": {"born": "2026-01-01T00:00:00+00:00", "skin_at_site": "intact"},
        "line": {"in_use": True, "patency": "open", "needle_in": False},
    }

    words = child_in_words(
        case, "2026-01-11T00:00:00+00:00", "2026-01-12T00:00:00+00:00"
    )

    assert "Later 11 days old." in words
    assert "skin" not in words.lower()
    told = words[words.index("Not known: ") :]
    for unknown in ("gestation at birth", "sensitivities", "kind of line", "site"):
        assert unknown in told
    assert "how the line runs" not in told


def test_a_breach_about_what_is_on_shows_a_child_who_has_it_on(tmp_path: Path) -> None:
    own = OwnSet(tmp_path).swap(
        "quillmere/dressing.toml",
        '["transparent", "transparent-chg-gel", "transparent-chg-disc"] } }]',
        '["transparent", "transparent-chg-gel"] } }]',
    )
    parts = {part.name: part for part in prove_parts(own.read(), DAY)}

    [breach] = [b for b in parts["complete"].breaches if "disc" in b.says]

    assert breach.shown_by is not None
    case = breach.shown_by.case
    assert case["line"]["dressing"]["kind"] == "transparent-chg-disc"
    assert "On it: clear film over a chlorhexidine disc." in child_in_words(
        case, breach.shown_by.at
    )


def test_what_the_set_on_top_wrote_is_named_first_and_the_verdict_told(
    tmp_path: Path,
) -> None:
    (tmp_path / "set.toml").write_text(
        """
[set]
id = "own"
title = "Our own"
version = "1"
extends = "us-guideline"
call = "the vascular access nurse on call"

[number.cdc11-chlorhexidine-age]
means = "Age from which chlorhexidine may be used"
unit = "calendar-months"
values = [{ from = 2024-01-01, value = 3, source = "common-practice" }]
""",
        encoding="utf-8",
    )
    parts = {p.name: p for p in prove_parts(load_policy(str(tmp_path)), DAY)}

    [breach] = [b for b in parts["safe"].breaches if b.shown_by is not None]

    assert breach.says.endswith(
        "But another verdict is given: no plan, and somebody is to be called."
    )
    assert breach.rules[0] == (
        "cdc11-chlorhexidine-age",
        f"{tmp_path.name}/set.toml: number.cdc11-chlorhexidine-age",
    )
    assert [id_ for id_, _ in breach.rules[1:]] == [
        "require-chlorhexidine-first",
        "under-2-months",
    ]


@pytest.mark.parametrize(("count", "last"), [(6, "where: f5 (r5)"), (8, "and 2 more")])
def test_at_most_six_places_are_named(count: int, last: str) -> None:
    places = tuple((f"r{at}", f"f{at}") for at in range(count))

    lines = breach_in_words(Breach("Wrong.", places, "mend it", None)).splitlines()

    named = [line.strip() for line in lines[1:-1]]
    assert named[:6] == [f"where: f{at} (r{at})" for at in range(6)]
    assert named[-1] == last
