"""The spares of a change plan: beyond its own supplies, kept by what they depend on."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import pytest

from lumenkeep.core.asepsis.way_back import WaysBack
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.texts import SetTexts
from lumenkeep.core.recovery.handful import spares_of
from lumenkeep.core.recovery.plan_spares import (
    ENOUGH,
    ENOUGH_ALREADY,
    FAULTY,
    PlanSpares,
    SparesAsked,
    in_hundred,
    spares_asked,
    spares_in_plan,
    spares_kept,
)
from lumenkeep.files.case.case_file import case_from_mapping
from lumenkeep.files.kept_in_folder import MOST_FILES, KeptInFolder

if TYPE_CHECKING:
    from pathlib import Path

AT = datetime(2026, 3, 5, 12, tzinfo=UTC)
CASE: dict[str, Any] = {
    "zone": "America/Chicago",
    "child": {"born": "2020-01-01", "sensitivities": [], "skin_at_site": "intact"},
    "line": {
        "kind": "picc",
        "site": "upper-arm",
        "dressing": {
            "kind": "transparent",
            "applied": "2026-03-01T08:00:00-06:00",
            "findings": [],
        },
    },
    "people": {"operator": {"glove": "7"}},
}


class Remembered:
    """Keeps in memory, and counts what was worked out."""

    def __init__(self) -> None:
        self.found: dict[str, dict[str, Any]] = {}

    def get(self, key: str) -> dict[str, Any] | None:
        return self.found.get(key)

    def keep(self, key: str, found: dict[str, Any]) -> None:
        assert key not in self.found
        self.found[key] = found


@lru_cache
def asked(set_name: str = "quillmere", **child: Any) -> SparesAsked | PlanSpares | None:
    case = case_from_mapping(
        {
            **CASE,
            "child": {
                **CASE["child"],
                **{k: v if isinstance(v, str) else list(v) for k, v in child.items()},
            },
        },
        "test",
    )
    policy = load_policy(set_name)
    return spares_asked(policy, case, plan_change(case, AT, policy))


def needed() -> SparesAsked:
    found = asked()
    assert isinstance(found, SparesAsked)
    return found


@lru_cache
def shown() -> PlanSpares:
    return spares_in_plan(needed(), Remembered())


def test_spares_are_worked_out_once_and_kept() -> None:
    kept = Remembered()

    assert spares_kept(needed(), kept) is None
    first = spares_in_plan(needed(), kept)
    assert spares_in_plan(needed(), kept) == first == spares_kept(needed(), kept)
    assert list(kept.found) == [needed().key]


def test_another_policy_or_branch_has_a_key_of_its_own() -> None:
    keys = {
        one.key
        for one in (
            needed(),
            asked("us-guideline"),
            asked(sensitivities=("chlorhexidine",)),
        )
        if isinstance(one, SparesAsked)
    }

    assert len(keys) == 3


def test_a_child_of_another_age_shares_what_was_worked_out() -> None:
    other = asked(born="2019-01-01")

    assert isinstance(other, SparesAsked)
    assert other.key == needed().key


def test_every_line_says_why_and_whence() -> None:
    gloves = next(line for line in shown().lines if line.item == "sterile-gloves")

    assert shown().says == ENOUGH
    assert gloves.label == "Sterile gloves for the operator, pairs"
    assert gloves.count == 1
    assert gloves.because.startswith(
        "If a sterile glove touches bed, own mask, unprepared skin or a tail, and for "
    )
    assert all(line.because and line.source for line in shown().lines)
    assert "swab" in " ".join(line.label for line in shown().lines).lower()


def test_what_is_laid_out_with_the_spares_mends_every_slip() -> None:
    one = needed()
    laid: dict[str, int] = {line.item: line.count for line in shown().lines}
    plan: dict[str, int] = {}
    for line in one.plan.supplies:
        plan[line.item] = plan.get(line.item, 0) + line.count
    for name, used in zip(one.branch.items, one.branch.planned(), strict=True):
        supply = one.stage.bedside.items[name].supply
        if supply in plan:
            laid[name] = laid.get(name, 0) + plan[supply] - used

    rows = WaysBack(one.stage.bedside, one.branch, laid).table()

    assert {row.slip.id for row in rows if row.ending != row.slip.ending} == set()


@pytest.mark.parametrize("set_name", ["quillmere", "us-guideline", "uk-guideline"])
def test_a_plan_lays_out_at_least_what_the_steps_use(set_name: str) -> None:
    one = asked(set_name)
    assert isinstance(one, SparesAsked)
    plan: dict[str, int] = {}
    for line in one.plan.supplies:
        plan[line.item] = plan.get(line.item, 0) + line.count

    for name, used in zip(one.branch.items, one.branch.planned(), strict=True):
        supply = one.stage.bedside.items[name].supply
        if supply is not None and used:
            assert plan.get(supply, 0) >= used, name


def test_each_further_spare_covers_more_until_all_is_covered() -> None:
    shares = [buys.share for buys in shown().first]
    added = sum(count for buys in shown().first for _, count in buys.add)

    assert shares == sorted(shares)
    assert shares[-1] == 1
    assert added == sum(line.count for line in shown().lines)


def test_where_enough_is_laid_out_nothing_is_added() -> None:
    one = needed()
    found = spares_of(one.stage, one.branch)
    kept = Remembered()
    kept.found[one.key] = {**found, "items": {}, "order": found["order"][-1:]}

    without = spares_in_plan(one, kept)

    assert (without.lines, without.says) == ((), ENOUGH_ALREADY)


def test_without_a_plan_there_are_no_spares() -> None:
    assert asked(sensitivities=("chlorhexidine", "iodine")) is None


def test_a_set_without_procedures_has_no_spares() -> None:
    one = needed()
    policy = replace(one.stage.policy, procedures=())
    case = case_from_mapping(CASE, "test")

    assert spares_asked(policy, case, plan_change(case, AT, policy)) is None


def test_a_share_is_all_only_when_it_is_all() -> None:
    assert [in_hundred(s) for s in (0.0, 0.216, 0.9999, 1.0)] == [
        "0 of 100",
        "21 of 100",
        "99 of 100",
        "all",
    ]


def test_what_is_kept_in_a_folder_comes_back(tmp_path: Path) -> None:
    kept = KeptInFolder(tmp_path / "none" / "yet")

    assert kept.get("a") is None
    kept.keep("a", {"items": {"x": 1}})
    assert kept.get("a") == {"items": {"x": 1}}


def test_a_broken_or_forbidden_folder_is_as_good_as_none(tmp_path: Path) -> None:
    kept = KeptInFolder(tmp_path)
    (tmp_path / "a.json").write_text("{", "utf-8")
    (tmp_path / "b.json").write_text("[]", "utf-8")
    blocked = KeptInFolder(tmp_path / "a.json")

    blocked.keep("c", {})
    assert (kept.get("a"), kept.get("b"), blocked.get("c")) == (None, None, None)


def test_what_was_kept_longest_ago_is_forgotten(tmp_path: Path) -> None:
    kept = KeptInFolder(tmp_path)
    for number in range(MOST_FILES + 1):
        (tmp_path / f"old-{number}.json").write_text("{}", "utf-8")
    kept.keep("new", {"a": 1})

    assert len(list(tmp_path.glob("*.json"))) == MOST_FILES
    assert kept.get("new") == {"a": 1}


@pytest.mark.parametrize(
    ("was", "becomes"),
    [('verb = "scrub"', 'verb = "scrubb"'), ('id = "D9"\nactor', 'id = "D9"\nwho')],
)
def test_a_faulty_procedure_keeps_no_plan_back(was: str, becomes: str) -> None:
    one = needed()
    [published, *above] = one.stage.policy.procedures
    files = tuple((n, t.replace(was, becomes)) for n, t in published.files)
    assert files != published.files
    policy = replace(
        one.stage.policy, procedures=(SetTexts("published", files), *above)
    )
    case = case_from_mapping(CASE, "test")
    found = spares_asked(policy, case, plan_change(case, AT, policy))

    assert found is not None
    assert spares_kept(found, Remembered()) == spares_in_plan(found, Remembered())
    assert spares_in_plan(found, Remembered()).says == FAULTY


def test_an_unsound_order_names_no_spares() -> None:
    one = needed()
    [published, *above] = one.stage.policy.procedures
    files = tuple(
        (
            n,
            t.replace(
                'id = "D9"\nactor = "operator"\nverb = "hand-hygiene"',
                'id = "D9"\nactor = "operator"\nverb = "agree"',
            ),
        )
        for n, t in published.files
    )
    assert files != published.files
    policy = replace(
        one.stage.policy, procedures=(SetTexts("published", files), *above)
    )
    case = case_from_mapping(CASE, "test")
    found = spares_asked(policy, case, plan_change(case, AT, policy))

    assert isinstance(found, PlanSpares)
    assert found.says == FAULTY
