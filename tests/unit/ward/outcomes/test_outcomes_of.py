"""The outcomes of a ward: the sentence, cautions, ratios, charts and comparisons."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
import scipy.optimize
import scipy.stats  # noqa: F401  its loading must not count as a test's time
from tests.fakes.outcomes import WARD, FakeOutcomes, told_of

from lumenkeep.errors import InputError
from lumenkeep.ward.outcomes.outcomes_of import Outcomes, outcomes_of
from lumenkeep.ward.outcomes.ratio import fitting, standing_baselines
from lumenkeep.ward.outcomes.records import (
    Baseline,
    NewBaseline,
    NewCount,
    ReferenceStratum,
)
from lumenkeep.ward.versions.records import IN_FORCE, StepRecord

FIRST, LAST = date(2025, 3, 1), date(2025, 5, 31)
NOW = datetime(2025, 7, 1, tzinfo=UTC)
DAYS = (LAST - FIRST).days + 1


def ward_of(children: int = 20, with_line: int = 13, ward: str = "kestrel"):
    """A ward with so many children for the whole time, each charted each day."""
    made = FakeOutcomes().noon()
    fill(made, ward, children, with_line)
    return made


def fill(made: FakeOutcomes, ward: str, children: int, with_line: int) -> None:
    start = datetime(2025, 2, 1, tzinfo=UTC)
    for number in range(children):
        child = f"{ward}-{number}"
        made.days.entry(child, "stay", start, ward=ward)
        if number < with_line:
            made.days.entry(child, "line-inserted", start, child + "l", kind="picc")
            made.days.entry(child, "line-tip", start, child + "l", tip="great-vessel")


def outcomes(made: FakeOutcomes, **more) -> Outcomes:
    told = {"first": FIRST, "last": LAST, "at": NOW, **more}
    return outcomes_of(made.sources(), "kestrel", **told)


def test_the_sentence_says_rate_and_exact_limits() -> None:
    """Garwood 1936 for two events: 0.2422 and 7.2247 (statistics facts, section 1)."""
    made = ward_of()
    for day in (date(2025, 3, 9), date(2025, 4, 20)):
        made.infections.infection("kestrel", day)

    found = outcomes(made)

    assert DAYS * 13 == 1196
    assert found.sentence == (
        "Two infections in 1,196 line-days: 1.7 per 1000 (0.2 to 6.0)."
    )
    assert (
        found.use.words
        == "1,196 line-days in 1,840 child-days: a line on 65 % of days."
    )
    assert found.rate.infections == ("i-1", "i-2")
    assert len(found.rate.days) == DAYS


@pytest.mark.parametrize(
    ("events", "says"),
    [
        (0, "No infections in 1,196 line-days: 0 per 1000 (0 to 3.1)."),
        (1, "One infection in 1,196 line-days: 0.8 per 1000 (0.0 to 4.7)."),
    ],
)
def test_none_and_one_are_said_as_people_say_them(events: int, says: str) -> None:
    made = ward_of()
    for number in range(events):
        made.infections.infection("kestrel", FIRST + timedelta(days=number))

    assert outcomes(made).sentence == says


def test_without_line_days_there_is_no_rate() -> None:
    made = ward_of(5, 0)
    made.infections.infection("kestrel", FIRST)

    found = outcomes(made)

    assert found.sentence == (
        "One infection, and no line-day was counted: there is no rate."
    )
    assert found.rate.value is None


def test_an_infection_of_another_ward_or_of_no_line_does_not_count() -> None:
    made = ward_of()
    made.infections.infection("heron", FIRST)
    made.infections.infection("kestrel", FIRST, counts=False)
    made.infections.infection("kestrel", FIRST, counts=None, is_decided=False)

    found = outcomes(made)

    assert found.whole.events == 0
    assert [i.key for i in found.undecided] == ["i-3"]
    assert (
        "One positive blood culture waits for a fact: whether it belongs to a line "
        "cannot be said yet." in found.cautions
    )


def test_a_proposal_that_does_not_count_waits_for_a_decision() -> None:
    made = ward_of()
    made.infections.infection("kestrel", FIRST, counts=False, is_decided=False)

    assert (
        "One positive blood culture more waits for a decision and does not count so far."
        in outcomes(made).cautions
    )


def test_what_is_open_is_said_with_the_rate_it_would_make() -> None:
    """Three infections in 1,196 line-days; one of them hangs on a fact."""
    made = ward_of()
    for counts in (True, True, None):
        made.infections.infection("kestrel", FIRST, counts=counts)
    made.days.told = [
        e for e in made.days.told if e.kind != "line-tip" or e.line != "kestrel-0l"
    ]

    found = outcomes(made)

    assert (found.whole.events, found.whole.line_days) == (2, 1196 - DAYS)
    assert found.sentence == (
        "Two infections in 1,104 line-days: 1.8 per 1000 (0.2 to 6.5). Open are one "
        "infection and 92 line-days: left out until a fact is known. If all counted: 3 "
        "in 1,196, 2.5 per 1000 (0.5 to 7.3)."
    )
    assert "92 more are open; if all counted: " in found.use.words


def test_more_line_days_than_child_days_are_remarked() -> None:
    made = ward_of()
    made.days.silent |= {FIRST + timedelta(days=n) for n in range(DAYS)}
    made.book.add_count(NewCount("kestrel", FIRST, 3, 4, "s-1"), "f")

    assert "More line-days than child-days cannot be" in outcomes(made).use.words


def test_what_is_proposed_counts_and_says_so() -> None:
    made = ward_of()
    made.infections.infection("kestrel", FIRST, is_decided=False, is_barrier=True)

    found = outcomes(made)

    assert found.whole.events == 1
    assert found.cautions[:2] == (
        "One infection of these is counted as proposed; nobody has confirmed it yet.",
        (
            "One of the infections is of the mucosal-barrier form: counted in the rate, "
            "left out of the ratio."
        ),
    )
    assert found.infection_ratio.observed == 0


def test_missing_days_are_no_line_days_and_are_said() -> None:
    made = ward_of()
    made.days.silent |= {date(2025, 3, 5), date(2025, 3, 6)}

    found = outcomes(made)

    assert found.whole.line_days == 1196 - 26
    assert [day.on.day for day in found.missing] == [5, 6]
    assert found.cautions[0].startswith("Two days could not be counted and are missing")


def test_a_count_by_hand_stands_in_for_a_missing_day() -> None:
    made = ward_of()
    made.days.silent.add(date(2025, 3, 5))
    made.book.add_count(NewCount("kestrel", date(2025, 3, 5), 18, 11, "s-1"), "f")

    found = outcomes(made)

    assert found.whole.line_days == 1196 - 2
    assert found.missing == ()
    assert "One day is counted by hand, where the chart could not." in found.cautions


def test_the_chart_goes_before_the_hand_where_it_can_count() -> None:
    made = ward_of()
    made.book.add_count(NewCount("kestrel", date(2025, 3, 5), 18, 0, "s-1"), "f")

    assert outcomes(made).whole.line_days == 1196


def test_a_line_whose_tip_is_not_charted_is_said() -> None:
    made = ward_of()
    made.days.told = [e for e in made.days.told if e.kind != "line-tip"]

    found = outcomes(made)

    assert found.cautions[0] == (
        "1,196 line-days are left out: nobody has charted where the tip of the line "
        "lies. Blood of such a line is left out as well."
    )
    assert found.whole.line_days == 0
    assert "Open are 1,196 line-days" in found.sentence


def test_a_child_of_whom_nobody_charts_any_more_is_asked_after() -> None:
    made = ward_of()
    everybody = frozenset(e.child for e in made.days.told)
    seen = everybody - {"kestrel-19"}
    made.days.charted = lambda *_: {  # type: ignore[method-assign]
        FIRST + timedelta(days=n): everybody if n < DAYS - 7 else seen
        for n in range(DAYS)
    }
    asks = "One child lay here by the chart for the last week with nothing charted: "

    assert asks + "has it left?" in outcomes(made).cautions
    earlier = outcomes(made, last=LAST - timedelta(days=1)).cautions
    assert not any(told.startswith(asks) for told in earlier)


def test_a_period_that_is_not_over_says_so() -> None:
    found = outcomes(ward_of(), at=datetime(2025, 5, 20, tzinfo=UTC))

    assert "The period is not over." in found.cautions
    assert found.missing == ()


def test_the_chart_as_it_was_known_then_counts_nothing_written_since() -> None:
    made = ward_of()
    late = made.days.entry(
        "late", "stay", datetime(2025, 3, 1, tzinfo=UTC), ward="kestrel",
        written_at=datetime(2025, 6, 10, tzinfo=UTC),
    )  # fmt: skip
    assert late.id

    then = outcomes(made, known_at=datetime(2025, 6, 1, tzinfo=UTC))

    assert outcomes(made).whole.child_days - then.whole.child_days == DAYS - 0


@pytest.mark.parametrize(("first", "last"), [(LAST, FIRST), (date(2010, 1, 1), LAST)])
def test_a_period_that_cannot_be_is_refused(first: date, last: date) -> None:
    with pytest.raises(InputError) as refused:
        outcomes(ward_of(), first=first, last=last)
    assert refused.value.faults[0].code == "outcomes-bad-period"


def test_a_ward_that_may_not_be_seen_is_refused() -> None:
    with pytest.raises(InputError) as refused:
        outcomes_of(ward_of().sources(), "wren", FIRST, LAST, NOW)
    assert refused.value.faults[0].code == "outcomes-no-such-ward"


# ------------------------------------------------------------------- baselines


def baseline(**told) -> NewBaseline:
    told = {
        "ward": "kestrel", "kind": "infections", "first": FIRST, "last": LAST,
        "source": "a table", "by": "s-1", **told,
    }  # fmt: skip
    return NewBaseline(**told)


def test_a_predicted_number_gives_the_ratio_with_mid_p_limits() -> None:
    """Surveillance facts N6: 0 observed, 1.5 predicted: 0.000, upper 1.997, p 0.2231."""
    made = ward_of()
    made.book.add_baseline(baseline(predicted=1.5), "f")

    ratio = outcomes(made).infection_ratio

    assert ratio.found is not None
    assert (ratio.found.value, ratio.found.mid_p.low) == (0.0, None)
    assert round(ratio.found.mid_p.high or 0, 3) == 1.997
    assert round(ratio.found.p or 0, 4) == 0.2231
    assert ratio.words == (
        "0 infections, 1.50 predicted: ratio 0.00 (no lower limit to 2.00), chance "
        "alone could do this."
    )


def test_below_one_predicted_there_is_no_ratio() -> None:
    """Surveillance facts N7: 2 observed, 0.9 predicted."""
    made = ward_of()
    for day in (FIRST, LAST):
        made.infections.infection("kestrel", day)
    made.book.add_baseline(baseline(predicted=0.9), "f")

    assert outcomes(made).infection_ratio.words == (
        "No ratio: 2 infections and 0.90 predicted. Below 1 predicted a ratio says "
        "nothing."
    )


def test_reference_rates_are_applied_to_own_days() -> None:
    made = ward_of()
    rates = (ReferenceStratum("temporary", 6.0, 2000.0),)
    made.book.add_baseline(baseline(strata=rates, last=date(2025, 12, 31)), "f")
    lines = (ReferenceStratum("all", 500.0, 1000.0),)
    made.book.add_baseline(baseline(kind="line-days", strata=lines), "g")

    found = outcomes(made)

    assert found.infection_ratio.predicted == pytest.approx(1196 * 0.003)
    assert found.infection_ratio.parts[0][:2] == ("temporary", 1196.0)
    # 1,840 child-days at one line-day for two of them.
    assert found.use_ratio.predicted == pytest.approx(920.0)
    assert found.use_ratio.found is not None
    assert found.use_ratio.found.value == pytest.approx(1196 / 920)
    assert found.running is not None
    assert "the baseline entered for this time" in found.running.cost


def test_barrier_forms_are_not_summed_up_against_a_baseline_without_them() -> None:
    """The main ratio's baseline leaves them out (rule R20e, from memory)."""
    made = ward_of()
    made.book.add_baseline(baseline(predicted=3.0), "f")
    for day in range(1, 9):
        made.infections.infection("kestrel", FIRST.replace(day=day), is_barrier=True)

    found = outcomes(made)

    assert found.whole.events == 8
    assert found.running is not None
    assert found.running.path.signal is None
    assert "with mucosal-barrier forms left out" in found.running.cost


def test_a_line_day_does_not_rest_on_a_second_line_whose_tip_is_unknown() -> None:
    made = ward_of()
    start = datetime(2025, 2, 1, tzinfo=UTC)
    made.days.entry("kestrel-0", "line-inserted", start, "second", kind="picc")

    assert not [c for c in outcomes(made).cautions if "tip" in c]


def test_days_in_no_stratum_are_said() -> None:
    made = ward_of()
    rates = (ReferenceStratum("permanent", 6.0, 2000.0),)
    made.book.add_baseline(baseline(strata=rates), "f")

    assert outcomes(made).infection_ratio.cautions == (
        (
            "1,196 of 1,196 days lie in no stratum of the baseline; they predict nothing, "
            "so the ratio is if anything too high."
        ),
    )


def test_a_predicted_number_fits_its_own_days_alone_and_the_newest_wins() -> None:
    def held(id_: int, **told) -> Baseline:
        return Baseline(**told_of(baseline(**told)), id=id_, written_at=NOW)

    rate = (ReferenceStratum("all", 1.0, 1000.0),)
    baselines = [
        held(1, strata=rate, last=date(2025, 12, 31)),
        held(2, predicted=2.0),
        held(3, predicted=2.5, corrects=2),
    ]

    assert [b.id for b in standing_baselines(baselines)] == [1, 3]
    assert fitting(baselines, "infections", FIRST, LAST).id == 3  # type: ignore[union-attr]
    inside = fitting(baselines, "infections", FIRST, date(2025, 4, 1))
    assert inside is not None
    assert inside.id == 1
    assert fitting(baselines, "infections", date(2024, 1, 1), LAST) is None
    assert fitting(baselines, "line-days", FIRST, LAST) is None


# --------------------------------------------------------------- counts by hand


def by_hand(made: FakeOutcomes, month: int, days: int, line_days: int) -> None:
    """Counts by hand of a month that add up to so many line-days."""
    share, more = divmod(line_days, days)
    for day in range(1, days + 1):
        lines = share + (day <= more)
        count = NewCount("kestrel", date(2025, month, day), 20, lines, "s-1")
        made.book.add_count(count, f"f-{month}-{day}")


def test_three_whole_months_near_each_other_let_the_chart_replace_the_hand() -> None:
    made = ward_of()
    for month, days in ((3, 31), (4, 30), (5, 31)):
        by_hand(made, month, days, days * 13)

    beside = outcomes(made).beside

    assert beside is not None
    assert beside.may_replace
    assert [m.percent for m in beside.months] == [0.0, 0.0, 0.0]
    assert beside.months[0].words == "+0.0 %: near enough."
    assert beside.words == (
        "The chart’s count may replace the count by hand: 3 whole months in a row lie "
        "within 5 %."
    )


def test_a_third_month_six_per_cent_off_fails_and_starts_again() -> None:
    """Surveillance facts N4: +4.0 %, +4.7 %, +6.0 %."""
    made = ward_of()
    for month, days, hand in ((3, 31, 387), (4, 30, 373), (5, 31, 380)):
        by_hand(made, month, days, hand)

    beside = outcomes(made).beside

    assert beside is not None
    assert [round(m.percent or 0, 1) for m in beside.months] == [4.1, 4.6, 6.1]
    assert [m.is_near for m in beside.months] == [True, True, False]
    assert beside.months[2].words == "+6.1 %: too far apart."
    assert not beside.may_replace


def test_a_month_with_a_day_missing_is_not_whole() -> None:
    made = ward_of()
    for month, days in ((3, 31), (4, 29), (5, 31)):
        by_hand(made, month, days, days * 13)

    beside = outcomes(made).beside

    assert beside is not None
    assert not beside.may_replace
    assert beside.months[1].words == "+0.0 %: near enough, on 29 of 30 days."


def test_nothing_by_hand_is_nothing_to_compare() -> None:
    assert outcomes(ward_of()).beside is None


def test_one_day_a_week_estimates_a_month() -> None:
    sampling = outcomes(ward_of()).sampling

    assert sampling.barred == ()
    april = sampling.months[1]
    assert april.sampled is not None
    assert (round(april.sampled.line_days), april.full) == (390, 390)
    assert [d.isoweekday() for d in april.days] == [2] * 5


def test_where_the_weekday_was_not_counted_the_next_one_is() -> None:
    made = ward_of()
    made.days.silent.add(date(2025, 4, 8))

    assert date(2025, 4, 9) in outcomes(made).sampling.months[1].days


@pytest.mark.parametrize(
    ("unit", "with_line", "says"),
    [
        ("newborn", 13, "Units of this kind must count every day."),
        ("specialty", 13, "Units of this kind must count every day."),
        ("other", 2, "The unit has fewer than 75 line-days a month."),
    ],
)
def test_who_may_not_sample(unit: str, with_line: int, says: str) -> None:
    """R28: at least 75 line-days a month; not newborn, cancer and blood units."""
    made = FakeOutcomes().noon(unit)
    fill(made, "kestrel", 20, with_line)

    assert outcomes(made).sampling.barred == (says,)


# ------------------------------------------------------------------------ charts


def test_the_charts_go_by_week_until_there_are_months_enough() -> None:
    made = ward_of()
    assert outcomes(made).unit == "week"
    assert outcomes(made, first=date(2024, 9, 1)).unit == "month"


def test_a_cluster_stands_out_and_adds_up() -> None:
    made = ward_of()
    for number in range(4):
        made.infections.infection("kestrel", date(2025, 4, 5 + number % 2))
    made.infections.infection("kestrel", date(2025, 5, 20))

    found = outcomes(made)

    assert found.by_period is not None
    assert found.by_period.is_rare
    assert found.by_period.words.startswith(
        "More infections than chance explains in 5 A"
    )
    assert found.running is not None
    assert found.running.path.signal is not None
    assert "measured against this period’s own mean" in found.running.cost.lower()
    assert [gap.line_days for gap in found.between.gaps][:2] == [0, 13]


def test_the_cost_of_the_signals_is_said() -> None:
    """Champ and Woodall 1987: one beyond 3 sigma and 8 on one side, 152.73."""
    made = ward_of()
    for number in range(13 * 6):
        made.infections.infection("kestrel", FIRST + timedelta(weeks=number % 13))
    chart = outcomes(made).by_period

    assert chart is not None
    assert "give a false signal about every 153 weeks" in chart.cost
    assert round(chart.false_signal_every, 2) == 152.73


def test_weeks_without_infection_in_a_row_are_no_signal_where_they_are_usual() -> None:
    """With one infection in ten weeks, eight without any follow each other by chance."""
    made = ward_of()
    made.infections.infection("kestrel", date(2025, 5, 20))

    chart = outcomes(made).by_period

    assert chart is not None
    assert chart.signals == ()
    assert chart.words == "No week stands out from what chance alone does."
    assert "Runs of weeks on one side of the mean are not read as signals" in chart.cost
    assert round(chart.false_signal_every) == 370


def test_periods_that_vary_more_than_chance_widen_the_limits() -> None:
    made = ward_of()
    for week in range(0, 13, 3):
        for _ in range(6):
            made.infections.infection("kestrel", FIRST + timedelta(weeks=week))

    chart = outcomes(made).by_period

    assert chart is not None
    assert chart.is_widened
    assert chart.limits.startswith("The periods vary more than chance")


def test_line_days_since_the_last_infection_go_on() -> None:
    made = ward_of()
    made.infections.infection("kestrel", date(2025, 5, 30))

    between = outcomes(made).between

    assert between.words == (
        "13 line-days since the last infection; too few infections for limits."
    )
    assert outcomes(ward_of()).between.words == "No infection in 1,196 line-days."


# --------------------------------------------------------------- wards and change


def three_wards() -> FakeOutcomes:
    third = type(WARD)("wren", "Wren", UTC, "newborn-intensive-care", "quillmere")
    made = FakeOutcomes(wards=(*FakeOutcomes().wards, third)).noon()
    for ward, lines in (("kestrel", 13), ("heron", 15), ("wren", 5)):
        fill(made, ward, 20, lines)
    return made


def test_a_ward_among_the_others_is_drawn_towards_them() -> None:
    made = three_wards()
    for ward, events in (("kestrel", 2), ("heron", 3), ("wren", 1)):
        for number in range(events):
            made.infections.infection(ward, FIRST + timedelta(days=9 * number))

    funnel = outcomes(made).funnel

    assert funnel is not None
    assert funnel.words.startswith("Kestrel is no further from the others than chance")
    assert funnel.overall == pytest.approx(6 / (DAYS * 33) * 1000)
    assert funnel.is_alike
    assert {round(p.drawn, 6) for p in funnel.points} == {round(funnel.overall, 6)}
    own = next(p for p in funnel.points if p.key == "kestrel")
    assert funnel.limits_at(own.line_days) == pytest.approx(own.limits)


def test_a_ward_far_above_the_others_is_named() -> None:
    made = three_wards()
    for number in range(14):
        made.infections.infection("kestrel", FIRST + timedelta(days=6 * number))
    made.infections.infection("heron", FIRST)

    funnel = outcomes(made).funnel

    assert funnel is not None
    assert funnel.words.startswith(
        "Kestrel is higher than the others, beyond the inner"
    )
    own = next(p for p in funnel.points if p.key == "kestrel")
    assert funnel.overall < own.drawn < own.rate


def test_two_wards_or_no_infection_are_no_comparison() -> None:
    assert outcomes(ward_of()).funnel is None
    assert outcomes(three_wards()).funnel is None


def test_a_change_of_practice_is_cut_on_its_day() -> None:
    made = ward_of(60, 55)
    for number in range(20):
        made.infections.infection("kestrel", FIRST + timedelta(days=2 * number))
    for number in range(7):
        made.infections.infection("kestrel", date(2025, 4, 18) + timedelta(6 * number))

    change = outcomes(made, change_on=date(2025, 4, 17)).change

    assert change is not None
    assert change.rows[change.first_after - 1].period.first == date(2025, 4, 17)
    assert (change.before.events, change.after.events) == (20, 7)
    assert (change.before.line_days, change.after.line_days) == (47 * 55, 45 * 55)
    assert change.words.startswith(
        "7.7 per 1000 line-days before, 2.8 after: the fall is larger than chance alone "
        "makes it (ratio 0.37 ("
    )
    assert "Allowing for a trend, the level went to " in change.words
    assert change.caution.startswith("The comparison knows of no other change")


def test_limits_a_thousandfold_apart_are_not_shown() -> None:
    made = ward_of()
    for day in (FIRST, date(2025, 3, 20), date(2025, 5, 3), date(2025, 5, 17)):
        made.infections.infection("kestrel", day)

    change = outcomes(made, change_on=date(2025, 4, 17)).change

    assert change is not None
    assert (change.model, change.why_not) == (
        None,
        "Level and trend cannot be told apart: too few infections for both.",
    )


def test_too_few_events_for_a_trend_are_said_and_rates_stay() -> None:
    made = ward_of()
    made.infections.infection("kestrel", date(2025, 3, 3))

    change = outcomes(made, change_on=date(2025, 4, 17)).change

    assert change is not None
    assert change.model is None
    assert (
        change.why_not == "Level and trend cannot be told apart: one side has no event."
    )
    assert "Allowing for a trend" not in change.words


def test_a_policy_that_came_into_force_is_a_change_on_record() -> None:
    made = ward_of()
    step = StepRecord(
        7, IN_FORCE, "s-1", "kestrel", datetime(2025, 4, 9, 6, tzinfo=UTC),
        id=1, at=NOW,
    )  # fmt: skip
    sources = made.sources()
    found = outcomes_of(
        type(sources)(
            sources.wards, sources.days, sources.book, sources.infections, [step]
        ),
        "kestrel", FIRST, LAST, NOW,
    )  # fmt: skip

    assert [c.on for c in found.changes] == [date(2025, 4, 9)]
    assert found.change is not None
    assert found.change.change.words == "another policy came into force"
