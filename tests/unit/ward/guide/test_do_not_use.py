"""A line that is not to be used: said before and during a guide, and charted as known."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tests.fakes.account import account_of
from tests.fakes.chart import first_drafts
from tests.unit.ward.guide.test_entries import Ward

from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.guide.account.send import UNSAID
from lumenkeep.ward.guide.facts_since import facts_since

if TYPE_CHECKING:
    from collections.abc import Iterable

MOVED = {"findings": [], "external_length_mm": 60}
KNOWN = {"do_not_use_known": {"why": "The prescriber knows, and wants it done."}}


def held() -> Ward:
    """Return a ward whose line lies 40 mm further out than it did."""
    ward = Ward()
    chart(ward, ("finding", MOVED))
    return ward


def chart(ward: Ward, *entries: tuple[str, dict[str, Any]]) -> None:
    ward.chart.append(
        [Draft("c-1", "l-1", kind, ward.clock.at, "s", body) for kind, body in entries],
        "quillmere",
    )
    ward.clock.move(minutes=1)


def said(reasons: Iterable[dict[str, str]]) -> list[tuple[bool, str]]:
    return [("40 mm out" in one["says"], one["until"]) for one in reasons]


def test_a_guide_carries_why_and_until_when_the_line_is_not_to_be_used() -> None:
    bundle = held().open("dressing-change")

    assert said(bundle["do_not_use"]) == [(True, "the tip has been checked")]
    assert Ward().open("dressing-change")["do_not_use"] == []


def test_the_steps_that_open_the_line_say_so() -> None:
    opening = {
        name: [s["verb"] for s in Ward().open(name)["steps"] if s["opens_line"]]
        for name in ("connector-change", "set-change", "dressing-change")
    }

    assert opening["connector-change"][0] == "open-lumen"
    assert opening["set-change"][0] == "open-lumen"
    assert opening["dressing-change"] == []


def test_why_somebody_went_on_all_the_same_is_charted() -> None:
    ward = held()
    bundle = ward.open("connector-change")
    ward.send(account_of(bundle, values={}, **KNOWN))
    (entry,) = ward.entries()

    assert entry.body["guide"]["do_not_use_known"] == KNOWN["do_not_use_known"]
    assert "flags" not in entry.body["guide"]


def test_that_nobody_said_why_is_flagged_and_not_refused() -> None:
    ward = held()
    bundle = ward.open("connector-change")
    taken = ward.send(account_of(bundle, values={}))
    (entry,) = ward.entries()

    assert taken.status == "written"
    assert entry.body["guide"]["flags"] == [UNSAID]


def test_an_emergency_is_told_and_not_asked() -> None:
    ward = held()
    bundle = ward.open("re-cover", findings="damp")
    ward.send(account_of(bundle, values={"findings": ["damp"]}))
    (entry,) = ward.entries()

    assert bundle["procedure"]["is_urgent"]
    assert len(bundle["do_not_use"]) == 1
    assert "flags" not in entry.body["guide"]


def test_what_holds_the_line_meanwhile_is_news() -> None:
    ward = Ward()
    bundle = ward.open("dressing-change")
    chart(ward, ("finding", MOVED))
    run = ward.runs.kept["run-1"]
    news = facts_since(ward.at, run, bundle["facts_mark"])
    again = facts_since(ward.at, run, news.mark)

    assert [f.what for f in news.changed if f.what.startswith("Do not use")] == [
        news.do_not_use[0].sentence
    ]
    assert again.changed == ()
    assert again.do_not_use == news.do_not_use


def test_two_identifiers_tell_the_child_and_the_bed_is_none() -> None:
    line = Ward().open("dressing-change")["line"]

    assert line["identifiers"] == [
        {"label": "Name", "says": "Demo Sorrel"},
        {"label": "Born", "says": "18 August 2022"},
    ]
    assert (line["bed"], line["shares_bed"]) == ("04", False)


def test_a_second_identifier_that_is_not_charted_is_said_to_lack() -> None:
    ward = Ward()
    birth = next(e for e in ward.chart.written_entries if e.kind == "birth")
    ward.chart.written_entries.remove(birth)
    _, second = ward.open("connector-change")["line"]["identifiers"]

    assert second == {
        "label": None,
        "says": "Second identifier not charted: read it from the wristband",
    }


def test_two_children_under_one_bed_number_are_said() -> None:
    ward = Ward()
    ward.chart.lines["l-2"] = "c-2"
    ward.chart.append(first_drafts(ward.clock.at, child="c-2", line="l-2"), "quillmere")

    assert ward.open("dressing-change")["line"]["shares_bed"]


def test_the_band_says_what_counts_now() -> None:
    bundle = Ward().open("dressing-change")

    assert bundle["band"] == {
        "agent": "Chlorhexidine 2 % in alcohol",
        "dressing": "Clear film with chlorhexidine gel pad",
        "allergies": {"says": "None known", "words": []},
        "last_length": "20 mm on 21 November",
    }
    # A hub is scrubbed with something else than the skin.
    assert Ward().open("connector-change")["band"]["agent"] is None


def test_a_sensitivity_nobody_charted_is_asked_for() -> None:
    ward = Ward()
    kept = ward.chart.written_entries
    ward.chart.written_entries = [e for e in kept if e.kind != "sensitivities"]
    bundle = ward.open("connector-change")

    assert bundle["band"]["allergies"] == {
        "says": "Not charted: ask before you begin",
        "words": None,
    }
    assert {"label": "Does not tolerate", "says": "Not known", "known": False} in (
        bundle["facts"]
    )
