"""How long is scrubbed and dried: the agent's own times, and never less than the site's."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from lumenkeep.core.model import Elapsed
from lumenkeep.core.planning.technique import site_rules_that_may_apply, technique

NUMBERS = {
    "swabs": 3,
    "each": Elapsed(10),
    "dry": Elapsed(30),
    "low": 51.0,
    "high": 76.0,
    "s20": Elapsed(20),
    "s60": Elapsed(60),
    "s100": Elapsed(100),
    "s120": Elapsed(120),
}


def agent(**changed: Any) -> Any:
    said = {
        "id": "an-agent",
        "because": "It is the first.",
        "label": "An agent",
        "swabs": "swabs",
        "seconds_per_swab": "each",
        "dry": "dry",
        "dry_judgement": "Look.",
        "motion": "back-and-forth",
        "motion_words": "Back and forth.",
        "area_low": "low",
        "area_high": "high",
        "residue": "sterile-saline",
        "residue_words": "Take it off.",
        "helper": "The other one helps.",
    }
    return SimpleNamespace(**(said | changed))


def site(id_: str, scrub: str, dry: str, truth: bool | None = True) -> Any:
    rule = SimpleNamespace(id=id_, because=f"{id_} is moist.", scrub=scrub, dry=dry)
    return SimpleNamespace(rule=rule, when=SimpleNamespace(truth=lambda _: truth))


def used(*sites: Any, **changed: Any) -> Any:
    book: Any = SimpleNamespace(
        policy=SimpleNamespace(agents={"an-agent": agent(**changed)}),
        value=NUMBERS.__getitem__,
    )
    return technique(book, "an-agent", list(sites))


def test_without_a_site_rule_the_agents_own_way_stands() -> None:
    way = used()

    assert (way.agent, way.label, way.swabs) == ("an-agent", "An agent", 3)
    assert (way.seconds_per_swab, way.scrub_s, way.dry_s) == (10, 30, 30)
    assert way.area_mm == (51.0, 76.0)
    assert (way.motion, way.motion_words) == ("back-and-forth", "Back and forth.")
    assert (way.dry_judgement, way.helper) == ("Look.", "The other one helps.")
    assert way.residue_removed_with == "sterile-saline"
    assert way.residue_words == "Take it off."
    assert (way.because, way.rules) == (("It is the first.",), ("an-agent",))


def test_a_site_rule_lengthens_what_is_shorter() -> None:
    way = used(site("groin", "s120", "s60"))

    assert (way.scrub_s, way.seconds_per_swab, way.dry_s) == (120, 40, 60)
    assert way.because == ("It is the first.", "groin is moist.")
    assert way.rules == ("an-agent", "groin")


def test_a_site_rule_shortens_nothing() -> None:
    way = used(site("chest", "s20", "s20"))

    assert (way.scrub_s, way.seconds_per_swab, way.dry_s) == (30, 10, 30)
    assert way.rules == ("an-agent", "chest")


def test_the_longest_of_several_sites_counts() -> None:
    sites = (site("one", "s120", "s20"), site("two", "s60", "s100"))

    for order in (sites, sites[::-1]):
        way = used(*order)
        assert (way.scrub_s, way.seconds_per_swab, way.dry_s) == (120, 40, 100)


def test_a_time_that_three_swabs_do_not_share_evenly_is_rounded_up() -> None:
    way = used(site("groin", "s100", "s20"))

    assert (way.scrub_s, way.seconds_per_swab) == (100, 34)


def test_an_agent_without_a_scrub_time_takes_the_sites() -> None:
    assert used(seconds_per_swab=None).scrub_s is None
    assert used(seconds_per_swab=None).seconds_per_swab is None

    way = used(site("groin", "s60", "s20"), seconds_per_swab=None)

    assert (way.scrub_s, way.seconds_per_swab) == (60, 20)


def test_a_drying_time_that_is_no_time_is_a_fault_of_ours() -> None:
    with pytest.raises(TypeError, match="swabs"):
        used(dry="swabs")


def test_a_site_rule_holds_is_open_or_plays_no_part() -> None:
    sites = [site("a", "s60", "s60", t) for t in (True, None, False)]
    book: Any = SimpleNamespace(site_rules=tuple(sites))
    situation: Any = None

    assert site_rules_that_may_apply(book, situation) == ([sites[0]], [sites[1]])
