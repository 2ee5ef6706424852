"""A house without barrier film in newborn intensive care: step and supply narrowed alike."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from tests.policy.own_set import OwnSet

from lumenkeep.core.proving.lay_out import lay_out_part
from lumenkeep.core.proving.procedures import procedure_part

if TYPE_CHECKING:
    from pathlib import Path

DAY = date(2026, 3, 15)
STEPS, SUPPLIES = "published/procedures/dressing-change.toml", "published/supplies.toml"
STEP = 'source = "skills-textbook"\nhow = "found"\nwhen = [{ holds = { is = ["sticking"] } }]'
SUPPLY = 'when = [{ sensitivities = { lacks = ["adhesive", "silicone"] } }]'
NOT_THERE = 'unit = { is_not = ["newborn-intensive-care"] }'
OPENLY = """
[[loosened]]
id = "{id}"
because = "Our newborns have no barrier film."
source = "common-practice"
"""


def without_film(folder: Path) -> OwnSet:
    own = OwnSet(folder)
    own.swap(SUPPLIES, SUPPLY, SUPPLY.replace(" } }]", f" }}, {NOT_THERE} }}]"))
    return own


def says_of(own: OwnSet) -> list[str]:
    policy = own.read()
    parts = procedure_part(policy, DAY), lay_out_part(policy, DAY)
    return [breach.says for part in parts for breach in part.breaches]


def test_no_film_is_asked_for_where_none_is_laid_out_and_no_step_takes_it(
    tmp_path: Path,
) -> None:
    own = without_film(tmp_path)
    own.swap(STEPS, STEP, STEP.replace(" } }]", f" }}, {NOT_THERE} }}]"))
    own.add("quillmere/requirements.toml", OPENLY.format(id="dressing-change.D16"))

    assert says_of(own) == []


def test_the_step_alone_narrowed_leaves_edges_bare_where_film_lies(
    tmp_path: Path,
) -> None:
    own = OwnSet(tmp_path)
    own.swap(STEPS, STEP, STEP.replace(" } }]", f" }}, {NOT_THERE} }}]"))
    own.add("quillmere/requirements.toml", OPENLY.format(id="dressing-change.D16"))

    assert any("it lies on the edges before the dressing" in s for s in says_of(own))


def test_two_changes_of_a_dressing_are_refused(tmp_path: Path) -> None:
    own = OwnSet(tmp_path)
    path = own.folder / "published/procedures/dressing-change.toml"
    text = path.read_text(encoding="utf-8")
    again = text.replace('id = "dressing-change"', 'id = "dressing-change-again"', 1)
    again = again.replace('title = "Dressing change"', 'title = "Another change"', 1)
    path.with_name("dressing-change-again.toml").write_text(again, encoding="utf-8")

    told = [
        b
        for b in lay_out_part(own.read(), DAY).breaches
        if "both change a dressing" in b.says
    ]

    assert {id_ for id_, _ in told[0].rules} == {
        "dressing-change",
        "dressing-change-again",
    }
