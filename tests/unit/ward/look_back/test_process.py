"""What was done in time, late, by a finding, or cannot be judged."""

from __future__ import annotations

from datetime import timedelta

from tests.fakes.clock import NOON
from tests.unit.ward.look_back.wards import DAY, TODAY, Told, figure, midnight

from lumenkeep.ward.look_back.done import Done
from lumenkeep.ward.look_back.process import _late_figure


def test_a_planned_change_within_seven_days_is_in_time() -> None:
    told = Told()

    found = told.look()

    value, entries = figure(found, "process", "in-time-dressing")
    assert value == "1 of 1"
    assert [found.traced[id_].kind for id_ in entries] == ["dressing-change"]
    assert found.sections[0].sentence == (
        "1 of 1 planned dressing changes came in time, 100 % (95 % limits 21 to 100 %)."
    )


def test_a_change_after_its_time_is_late_and_says_by_how_much() -> None:
    told = Told()
    late = told.changed(NOON + 4.5 * DAY)

    found = told.look(last=TODAY + 5 * DAY, at=NOON + 6 * DAY)

    assert figure(found, "process", "in-time-dressing")[0] == "1 of 2"
    assert figure(found, "process", "late") == ("1", (late.id,))
    part = found.section("process")
    assert part is not None
    one = part.figure("late")
    assert one is not None
    assert one.words == "By 36 hours."


def test_a_change_for_a_finding_asks_no_clock() -> None:
    told = Told()
    early = told.changed(NOON - DAY, because="damp")

    found = told.look()

    assert figure(found, "process", "in-time-dressing")[0] == "1 of 1"
    assert figure(found, "process", "by-finding") == ("1", (early.id,))


def test_a_change_nobody_charted_the_reason_of_is_in_no_share() -> None:
    told = Told()
    told.changed(NOON - DAY, because="")

    found = told.look()

    assert figure(found, "process", "in-time-dressing")[0] == "1 of 1"
    part = found.section("process")
    assert part is not None
    assert part.unknown[:1] == (
        "1 dressing change cannot be judged: nobody charted why it was done.",
    )


def test_a_first_connector_change_cannot_be_judged_and_says_so() -> None:
    told = Told()
    told.add("connector-change", NOON - 2 * DAY)

    part = told.look().section("process")

    assert part is not None
    assert part.figure("in-time-connector") is None
    assert part.unknown[:1] == (
        "1 connector change cannot be judged: the time before it was not charted.",
    )


def test_of_two_sets_each_is_judged_by_its_own_last_time() -> None:
    told = Told()
    for name, kind, days in (("main", "plain", 6), ("lipid", "lipid", 3)):
        told.add("set-change", NOON - days * DAY, {"set": name, "kind": kind})
    main = told.add("set-change", NOON - DAY, {"set": "main", "kind": "plain"})
    lipid = told.add("set-change", NOON - DAY, {"set": "lipid", "kind": "lipid"})

    found = told.look()

    assert figure(found, "process", "in-time-set") == ("1 of 2", (main.id, lipid.id))
    assert figure(found, "process", "late") == ("1", (lipid.id,))


def test_without_a_policy_of_that_day_nothing_is_judged() -> None:
    told = Told()
    told.on_record = False

    part = told.look().section("process")

    assert part is not None
    assert part.sentence == "Of no change can be said whether it was in time."
    assert part.unknown[:1] == (
        "1 dressing change cannot be judged: no policy of that day is on record.",
    )


def test_what_was_withdrawn_does_not_count() -> None:
    told = Told()
    wrong = told.changed(NOON - DAY)
    told.add("withdrawn", NOON - DAY, corrects=wrong.id)

    assert figure(told.look(), "process", "in-time-dressing")[0] == "1 of 1"


def test_what_was_done_on_another_ward_counts_there() -> None:
    told = Told()
    told.add("stay", NOON - 2 * DAY, {"ward": "heron", "bed": "1", "unit": "ward"})
    there = told.changed(NOON - DAY)

    assert figure(told.look("kestrel"), "process", "in-time-dressing")[0] == "1 of 1"
    assert figure(told.look("heron"), "process", "in-time-dressing")[1] == (there.id,)


def test_a_period_begins_and_ends_at_the_wards_midnight() -> None:
    told = Told()
    first = told.changed(midnight(TODAY - 2 * DAY))
    told.changed(midnight(TODAY - DAY))

    found = told.look(first=TODAY - 2 * DAY, last=TODAY - 2 * DAY)

    assert figure(found, "process", "in-time-dressing")[1] == (first.id,)


def test_what_is_overdue_at_the_end_is_counted_by_line() -> None:
    told = Told()
    found = told.look(last=TODAY + 9 * DAY, at=NOON + 9 * DAY)

    value, entries = figure(found, "process", "overdue")

    assert value == "1"
    assert {found.traced[id_].kind for id_ in entries} == {"dressing-change"}


def test_a_line_that_is_out_is_not_overdue() -> None:
    told = Told()
    told.add("line-removed", NOON - DAY, {"reason": "done"})

    found = told.look(last=TODAY + 9 * DAY, at=NOON + 9 * DAY)

    assert figure(found, "process", "overdue") == ("0", ())


def test_a_ward_without_changes_says_so() -> None:
    found = Told().look("wren")

    assert found.sections[0].sentence == (
        "No change of a dressing, connector, set or needle is charted."
    )


def test_half_an_hour_late_is_told_in_minutes() -> None:
    done = [
        Done(1, "l-1", "dressing", NOON, "late", late_by=timedelta(minutes=20)),
        Done(2, "l-1", "dressing", NOON, "late", late_by=timedelta(days=3)),
        Done(3, "l-1", "dressing", NOON, "late", late_by=timedelta(minutes=20)),
    ]

    assert _late_figure(done)[0].words == (
        "Half of them by 20 minutes or more; the latest by 3 days."
    )


def test_a_line_the_policy_has_no_answer_for_is_unknown_and_not_in_time() -> None:
    told = Told()
    told.on_record = False
    told.add("stay", NOON - 3 * DAY, {"ward": "wren", "bed": "2", "unit": "ward"})

    part = told.look("wren", last=TODAY - DAY).section("process")

    assert part is not None
    assert len(part.unknown) == 1
    assert part.unknown[0] == (
        "Whether all of it was in time when the period ended on 1 line: no policy of "
        "that day is on record."
    )


def test_a_connector_nobody_charted_is_not_called_in_time() -> None:
    part = Told().look().section("process")

    assert part is not None
    said = "in time now on 1 line: the last connector change is not charted."
    assert any(line.endswith(said) for line in part.unknown)


def test_changes_of_one_line_say_that_the_limits_are_too_narrow() -> None:
    told = Told()
    told.changed(NOON - DAY)

    part = told.look().section("process")

    assert part is not None
    assert len(part.lines) == 1
    assert part.lines[0] == (
        "The limits take each change for one of its own; the 2 changes here are those "
        "of 1 line, so the truth is less sure than they say."
    )
