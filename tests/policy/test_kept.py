"""What every set is held to is kept, stricter, or named: what may be, and what is told."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from tests.policy.mutants.allowed import ALLOWED, Allowed
from tests.policy.mutants.kept_care import MUTANTS as CARE
from tests.policy.mutants.kept_watch import MUTANTS as WATCH
from tests.policy.own_set import OwnSet
from tests.policy.test_mutants import planted

from lumenkeep.core.policy import load_policy, shipped_sets
from lumenkeep.core.policy.core_breaches import core_breaches
from lumenkeep.core.policy.files import shipped_world
from lumenkeep.core.policy.read_rules import KINDS
from lumenkeep.core.rehearsal.procedure_files import not_kept

if TYPE_CHECKING:
    from pathlib import Path

    from tests.policy.mutants.mutant import Mutant

    from lumenkeep.core.policy import Policy

DAY = date(2026, 11, 30)
SOURCES = "published/procedures/sources.toml"
LESS_AT_THE_BEDSIDE = {
    "identifiers": ("told from another", "count", 2, 1),
    "syringe-width": ("by the millilitres it is made for", "count", 10, 1),
    "re-cover-look": ("how often a stop-gap cover is looked at", "h", 1, 168),
    "removal-cover": ("after a line was taken out", "h", 24, 1),
    "rates-checked-by": ("after a set is changed", "count", 2, 1),
}


def told(policy: Policy) -> list[str]:
    """Return what a set does not hold, of the rules' and the procedures' own."""
    assert policy.core is not None
    return [
        *(one.says for one in core_breaches(policy, policy.core, DAY)),
        *(one.says for one in not_kept(policy, DAY)),
    ]


def changed(one: Allowed, folder: Path) -> Policy:
    own = OwnSet(folder, one.base)
    file = one.file if "/" in one.file else f"{one.base}/{one.file}"
    if one.find:
        own.swap(file, one.find, one.put)
    if one.add:
        own.add(file, one.add)
    return own.read()


@pytest.mark.parametrize("one", ALLOWED, ids=lambda one: one.name)
def test_what_a_set_may_change_is_no_breach(one: Allowed, tmp_path: Path) -> None:
    assert told(changed(one, tmp_path)) == [], one.right


@pytest.mark.parametrize("name", [*shipped_sets(), "published"])
def test_a_shipped_set_keeps_or_names_everything(name: str) -> None:
    assert [says for says in told(load_policy(name)) if name != "published"] == []


@pytest.mark.parametrize("id_", LESS_AT_THE_BEDSIDE)
def test_a_number_of_a_procedure_is_kept_or_named(id_: str, tmp_path: Path) -> None:
    means, unit, was, now = LESS_AT_THE_BEDSIDE[id_]
    head = f'{means}"\nunit = "{unit}"\nvalues = [{{ from = 2024-01-01, value = '
    own = OwnSet(tmp_path)

    own.swap(SOURCES, f"{head}{was},", f"{head}{now},")

    [says] = told(own.read())
    assert means in says.lower()
    assert ", here " in says
    own.add(
        "quillmere/set.toml",
        f'\n[[loosened]]\nid = "{id_}"\nbecause = "Ours."\nsource = "common-practice"\n',
    )
    assert told(own.read()) == []


@pytest.mark.parametrize("mutant", [*CARE, *WATCH], ids=lambda one: one.name)
def test_whoever_means_it_names_it(mutant: Mutant, tmp_path: Path) -> None:
    path = planted(mutant, tmp_path)
    policy = load_policy(path)
    assert policy.core is not None
    found = core_breaches(policy, policy.core, DAY)
    ids = {id_.removeprefix("core:") for one in found for id_, _ in one.places[:1]}
    ids |= {mutant.rule}
    core = shipped_world().core

    with (tmp_path / mutant.base / "set.toml").open("a") as head:
        for id_ in sorted(ids & (core.ids | core.ids_of_procedures)):
            head.write(
                f'\n[[loosened]]\nid = "{id_}"\nbecause = "Ours."\n'
                'source = "common-practice"\n'
            )

    assert told(load_policy(path)) == []


def test_a_set_that_extends_nothing_is_told_all_that_it_leaves_out(
    tmp_path: Path,
) -> None:
    (tmp_path / "set.toml").write_text(
        '[set]\nid = "bare"\ntitle = "Bare"\nversion = "1"\nabstract = true\n'
        'call = "the nurse"\n'
    )
    core = shipped_world().core
    ids = {
        id_ for kind, said in core.statements.items() if kind != "agent" for id_ in said
    }

    policy = load_policy(str(tmp_path))
    assert policy.core is not None
    found = list(core_breaches(policy, policy.core, DAY))

    assert ids <= {id_ for one in found for id_, _ in one.places}
    assert all("under [[loosened]]" in one.mend for one in found if one.places)


def test_a_breach_says_both_places_and_how_to_mend(tmp_path: Path) -> None:
    own = OwnSet(tmp_path)
    own.swap("published/chart.toml", 'label = "External length"', 'label = "Length"')
    own.swap(
        "published/chart.toml",
        'high = "external-length-mm.high"\nrequired = true',
        'high = "external-length-mm.high"',
    )

    policy = own.read()
    assert policy.core is not None
    [one] = core_breaches(policy, policy.core, DAY)

    assert one.says == (
        "The charted fact 'chart-external-length' is said otherwise: "
        "must be charted yes → no."
    )
    assert [where for _, where in one.places] == ["published/chart.toml: chart[2]"] * 2
    assert one.mend == (
        "put it back as published; whoever means it names 'chart-external-length' "
        "under [[loosened]], with reason and source"
    )


def test_the_law_speaks_of_every_kind_that_published_states() -> None:
    core = shipped_world().core
    held = {*core.rules, *core.statements, "bound", "plausible", "agent"}

    assert held == {*KINDS, "agent"}
    stated = {kind for kind, said in core.statements.items() if said}
    assert stated == {
        "agent", "exclude", "supply", "note", "chart", "disagreement", "weighing",
        "film", "length_limit", "measuring", "scale", "concern", "round_item",
        "round_plan",
    }  # fmt: skip
