"""The chart read as a surveillance timeline: what counts, by which day, from which entry."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from tests.unit.ward.infections.infections_told import LINE_ENTRY, ToldChild

from lumenkeep.demo.hospital import WARDS
from lumenkeep.ward.infections.timeline_of_chart import ChartTimeline, timeline_of_chart

ZONES = {ward.key: ward.zone for ward in WARDS}


@pytest.fixture
def told() -> ToldChild:
    return ToldChild()


def _read(told: ToldChild) -> ChartTimeline:
    entries = told.children.entries_of_child("c-1")
    return timeline_of_chart(entries, ZONES, "2025")


def test_a_day_is_that_of_the_wards_wall_clock(told: ToldChild) -> None:
    told.blood(timedelta(days=1, hours=13), "arm")  # 23:00 on the ward, 05:00 UTC

    (specimen,) = _read(told).timeline.specimens

    assert specimen.at.day == date(2026, 11, 23)
    assert str(specimen.at) == "2026-11-23 23:00"


def test_a_move_to_another_bed_goes_on_with_the_stay(told: ToldChild) -> None:
    told.write("stay", timedelta(days=2), ward="kestrel", bed="05", unit="x")
    told.write("stay", timedelta(days=1), ward="heron", bed="01", unit="x")

    stays = _read(told).timeline.stays

    assert [(s.location, s.end is None) for s in stays] == [
        ("kestrel", False),
        ("heron", True),
    ]
    assert stays[0].end == stays[1].start


def test_leaving_the_wards_ends_the_stay(told: ToldChild) -> None:
    told.write("stay", timedelta(days=1), ward=None, to="home")

    (stay,) = _read(told).timeline.stays

    assert stay.end is not None
    assert stay.end.day == date(2026, 11, 24)


def test_theatre_is_no_inpatient_location(told: ToldChild) -> None:
    told.write("stay", timedelta(hours=5), ward=None, to="theatre", inpatient=False)
    told.write("stay", timedelta(hours=2), ward="kestrel", bed="04", unit="x")

    stays = _read(told).timeline.stays

    assert [(s.location, s.is_inpatient) for s in stays] == [
        ("kestrel", True),
        ("theatre", False),
        ("kestrel", True),
    ]


def test_an_entry_that_was_taken_back_counts_no_more(told: ToldChild) -> None:
    wrong = told.blood(timedelta(days=2), "arm", "E. coli")
    told.write("withdrawn", timedelta(days=2), corrects=wrong.id, because="not hers")

    assert _read(told).timeline.specimens == ()


def test_a_specimen_keeps_its_id_through_corrections(told: ToldChild) -> None:
    first = told.blood(timedelta(days=2), "arm", "E. coli")
    again = told.blood(timedelta(days=2), "leg", "E. coli", corrects=first.id)

    (specimen,) = _read(told).timeline.specimens

    assert (specimen.id, specimen.draw) == (f"e{first.id}", "leg")
    assert specimen.entries == (str(again.id),)


def test_a_result_joins_the_specimen_even_when_that_was_corrected(
    told: ToldChild,
) -> None:
    first = told.blood(timedelta(days=2), "arm", result="pending")
    result = told.write(
        "specimen-result", timedelta(days=1),
        specimen=first.id, result="grew", organisms=["E. coli"],
    )  # fmt: skip
    again = told.blood(timedelta(days=2), "leg", result="pending", corrects=first.id)

    (specimen,) = _read(told).timeline.specimens

    assert specimen.organisms == ("E. coli",)
    assert specimen.entries == (str(again.id), str(result.id))


def test_a_later_result_takes_the_place_of_an_earlier_one(told: ToldChild) -> None:
    taken = told.blood(timedelta(days=3), "arm", result="pending")
    for grown in (["Gram-positive cocci in clusters"], ["Staphylococcus aureus"]):
        told.write(
            "specimen-result", timedelta(days=1),
            specimen=taken.id, result="grew", organisms=grown,
        )  # fmt: skip

    (specimen,) = _read(told).timeline.specimens

    assert specimen.organisms == ("Staphylococcus aureus",)


def test_a_specimen_without_a_result_is_awaited_and_never_negative(
    told: ToldChild,
) -> None:
    taken = told.blood(timedelta(days=2), "arm", result="pending")

    read = _read(told)

    [specimen] = read.timeline.specimens
    assert (specimen.organisms, specimen.result_is_told) == ((), False)
    assert [one.entry for one in read.awaited] == [taken.id]


def test_a_line_placed_in_the_stay_counts_from_its_placing(told: ToldChild) -> None:
    told.write("set-change", timedelta(days=5), line="l-1", set="main", kind="plain")

    (line,) = _read(told).timeline.lines

    assert line.first_access is None
    assert not line.access_is_told
    assert line.entries == (str(LINE_ENTRY),)


def test_a_line_brought_along_counts_from_its_first_use(told: ToldChild) -> None:
    told.write("stay", timedelta(days=5), ward=None, to="home")
    told.write("stay", timedelta(days=3), ward="kestrel", bed="07", unit="x")
    told.write("set-change", timedelta(days=6), line="l-1", set="main", kind="plain")
    used = told.write(
        "set-change", timedelta(days=2), line="l-1", set="main", kind="plain"
    )

    before, now = _read(told).timeline.lines

    assert before.removed is not None
    assert before.removed.day == date(2026, 11, 20)
    assert now.first_access is not None
    assert now.first_access.day == date(2026, 11, 23)
    assert str(used.id) in now.entries


def test_where_nothing_shows_use_the_use_is_not_told(told: ToldChild) -> None:
    told.write("stay", timedelta(days=5), ward=None, to="home")
    told.write("stay", timedelta(days=3), ward="kestrel", bed="07", unit="x")

    _, now = _read(told).timeline.lines

    assert now.first_access is None
    assert not now.access_is_told


def test_once_a_central_line_it_stays_one(told: ToldChild) -> None:
    told.tip("great-vessel", 9)
    told.tip("elsewhere", 4)

    (line,) = _read(told).timeline.lines

    assert line.tip == "great-vessel"


def test_a_line_whose_tip_is_nowhere_charted_has_none(told: ToldChild) -> None:
    (line,) = _read(told).timeline.lines

    assert line.tip is None


def test_a_device_is_in_until_it_comes_out(told: ToldChild) -> None:
    told.write("device", timedelta(days=4), kind="ecmo", doing="in")
    told.write("device", timedelta(days=3), kind="ecmo", doing="in")
    told.write("device", timedelta(days=1), kind="ecmo", doing="out")

    (device,) = _read(told).timeline.devices

    assert device.start.day == date(2026, 11, 21)
    assert device.end is not None
    assert device.end.day == date(2026, 11, 24)


def test_a_later_weight_is_no_birthweight(told: ToldChild) -> None:
    assert _read(told).timeline.birthweight_g is None
    assert _read(told).timeline.born == date(2022, 8, 18)


def test_all_the_rest_is_carried_over_with_its_entries(told: ToldChild) -> None:
    ago = timedelta(days=2)
    written = [
        told.write("sign", ago, kind="temperature", celsius=38.4),
        told.write("blood-count", ago, kind="anc", per_mm3=120),
        told.write("gut", ago, kind="stool", ml_24h=260, mass_kg=12),
        told.write("condition", ago, kind="epidermolysis-bullosa"),
        told.write("transplant", ago, kind="allogeneic", on="2026-08-01"),
        told.write("pus", ago, vascular_site="midline", organisms=["E. coli"]),
        told.write("self-injection", ago, how="suspected"),
        told.write(
            "other-infection", ago, kind="uti", date_of_event="2026-11-20",
            window=["2026-11-18", "2026-11-24"], organisms=["E. coli"],
            blood_is_element=False,
        ),
    ]  # fmt: skip

    line = _read(told).timeline

    parts = (
        *line.signs, *line.counts, *line.gut, *line.conditions, *line.transplants,
        *line.noted, *line.other_infections,
    )  # fmt: skip
    assert [part.entries for part in parts] == [(str(e.id),) for e in written]
    assert line.transplants[0].on == date(2026, 8, 1)
    assert line.other_infections[0].window == (date(2026, 11, 18), date(2026, 11, 24))
