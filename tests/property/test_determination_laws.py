"""Laws of the determination that hold for every child."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from hypothesis import assume, given
from hypothesis import strategies as st

from lumenkeep.core.outcomes.admissions import admissions_of
from lumenkeep.core.outcomes.derivation import Event, Steps
from lumenkeep.core.outcomes.determine import determine
from lumenkeep.core.outcomes.elsewhere import attribution_period
from lumenkeep.core.outcomes.line_days import judge_line
from lumenkeep.core.outcomes.protocol_year import protocol_year
from lumenkeep.core.outcomes.timeline import (
    CellCount,
    Moment,
    OtherInfection,
    Sign,
    Specimen,
    Timeline,
    TrackedLine,
    WardStay,
)

if TYPE_CHECKING:
    from random import Random

PROTOCOL = protocol_year("2025")
START = date(2024, 2, 1)  # a leap day and two changes of month lie near
LAST_DAY = 45
ORGANISMS = (
    "S. aureus", "E. coli", "S. epidermidis", "CoNS", "S. hominis", "Candida albicans",
    "viridans streptococci", "Salmonella sp.", "Klebsiella pneumoniae",
    "Staphylococcus lugdunensis", "Staphylococcus sp.", "nothing anyone knows",
)  # fmt: skip

days = st.integers(-3, LAST_DAY)


def on(number: int) -> Moment:
    return Moment(START + timedelta(days=number))


@st.composite
def spans(draw: st.DrawFn) -> tuple[Moment, Moment | None]:
    first = draw(days)
    length = draw(st.one_of(st.none(), st.integers(0, 30)))
    return on(first), None if length is None else on(first + length)


@st.composite
def stays(draw: st.DrawFn) -> tuple[WardStay, ...]:
    found, at = [], draw(st.integers(-1, 3))
    for place in draw(st.lists(st.sampled_from("abc"), min_size=1, max_size=4)):
        end = at + draw(st.integers(0, 15))
        found.append(WardStay(place, True, on(at), on(end)))
        at = end + draw(st.sampled_from([0, 0, 0, 1, 4]))
    last = found.pop()
    return (*found, replace(last, end=draw(st.sampled_from([last.end, None]))))


@st.composite
def lines(draw: st.DrawFn) -> tuple[TrackedLine, ...]:
    found = []
    for number in range(draw(st.integers(0, 3))):
        inserted, removed = draw(spans())
        last = removed.day if removed else START + timedelta(days=LAST_DAY)
        gap = draw(st.integers(0, max(0, (last - inserted.day).days)))
        accessed = Moment(inserted.day + timedelta(days=gap))
        found.append(
            TrackedLine(
                f"line-{number}",
                draw(st.sampled_from(["picc", "port", "midline", "tunnelled"])),
                draw(st.sampled_from(["great-vessel", "great-vessel", "elsewhere"])),
                inserted,
                draw(st.sampled_from([accessed, accessed, None])),
                True,
                removed,
            )
        )
    return tuple(found)


bottles = st.lists(
    st.tuples(
        days,
        st.sampled_from("ab"),
        st.lists(st.sampled_from(ORGANISMS), min_size=1, max_size=2, unique=True),
    ),
    max_size=6,
)
infections = st.lists(
    st.tuples(
        st.sampled_from(["uti", "pneumonia", "nec", "ssi"]),
        days,
        st.integers(-3, 3),
        st.sampled_from(ORGANISMS),
        st.booleans(),
    ),
    max_size=2,
)


@st.composite
def timelines(draw: st.DrawFn) -> Timeline:
    specimens = [
        Specimen(f"b{n}", on(at), "blood", label, "culture", tuple(grown))
        for n, (at, label, grown) in enumerate(draw(bottles))
    ]
    signs = [
        Sign(on(at), "temperature", celsius)
        for at, celsius in draw(
            st.lists(st.tuples(days, st.sampled_from([35.5, 38.0, 38.4])), max_size=4)
        )
    ]
    counts = [CellCount(on(at), "anc", 100) for at in draw(st.lists(days, max_size=4))]
    others = []
    for kind, event, offset, organism, is_element in draw(infections):
        test = START + timedelta(days=event + offset)
        window = (test - timedelta(days=3), test + timedelta(days=3))
        others.append(
            OtherInfection(
                kind, START + timedelta(days=event), window, (organism,), is_element
            )
        )
    return Timeline(
        "2025",
        born=START - timedelta(days=draw(st.sampled_from([5, 200, 362, 366, 3000]))),
        stays=draw(stays()),
        lines=draw(lines()),
        specimens=tuple(specimens),
        signs=tuple(signs),
        counts=tuple(counts),
        other_infections=tuple(others),
    )


def moved(value: Any, by: timedelta) -> Any:
    """Return a value with every date in it moved."""
    if isinstance(value, date):
        return value + by
    if isinstance(value, tuple):
        return tuple(moved(item, by) for item in value)
    if is_dataclass(value) and not isinstance(value, type):
        changed = {f.name: moved(getattr(value, f.name), by) for f in fields(value)}
        return replace(value, **changed)
    return value


def answers(events: tuple[Event, ...]) -> list[Event]:
    """Return events without their words, which name the dates."""
    return [replace(event, steps=()) for event in events]


@given(timelines(), st.integers(-800, 800).map(lambda weeks: weeks * 7))
def test_shifting_all_dates_shifts_the_answer(timeline: Timeline, by: int) -> None:
    shift = timedelta(days=by)
    born = timeline.born
    # A birthday may fall on another distance where a leap day lies between.
    assume(born is not None and abs((START - born).days - 365) > 60)
    before = determine(timeline, PROTOCOL)
    after = determine(moved(timeline, shift), PROTOCOL)

    assert answers(after) == list(moved(tuple(answers(before)), shift))


@given(timelines(), days, st.sampled_from(["blood", "urine", "catheter-tip"]))
def test_an_unrelated_negative_culture_changes_nothing(
    timeline: Timeline, at: int, source: str
) -> None:
    negative = Specimen("negative", on(at), source, "z", "culture", ())
    more = replace(timeline, specimens=(*timeline.specimens, negative))

    assert determine(more, PROTOCOL) == determine(timeline, PROTOCOL)


@given(timelines(), days, st.integers(1, 20))
def test_a_line_present_longer_never_makes_an_eligible_line_ineligible(
    timeline: Timeline, at: int, longer: int
) -> None:
    day = START + timedelta(days=at)
    later = [
        replace(
            line,
            removed=line.removed and Moment(line.removed.day + timedelta(days=longer)),
        )
        for line in timeline.lines
    ]
    for number in range(len(later)):
        more = replace(
            timeline,
            lines=tuple(
                later[n] if n == number else line
                for n, line in enumerate(timeline.lines)
            ),
        )
        for admission in admissions_of(timeline):
            before = judge_line(timeline, admission, day, PROTOCOL, Steps())
            after = judge_line(more, admission, day, PROTOCOL, Steps())
            assert after.is_eligible or not before.is_eligible


@given(timelines(), st.randoms(use_true_random=False))
def test_the_order_of_the_entries_changes_nothing(
    timeline: Timeline, random: Random
) -> None:
    def shuffled(entries: tuple[Any, ...]) -> tuple[Any, ...]:
        return tuple(random.sample(entries, len(entries)))

    mixed = replace(
        timeline,
        specimens=shuffled(timeline.specimens),
        signs=shuffled(timeline.signs),
        counts=shuffled(timeline.counts),
        lines=shuffled(timeline.lines),
    )

    assert answers(determine(mixed, PROTOCOL)) == answers(determine(timeline, PROTOCOL))


@given(timelines())
def test_windows_and_timeframes_are_as_long_as_the_rules_say(
    timeline: Timeline,
) -> None:
    for event in determine(timeline, PROTOCOL):
        if event.window:
            assert (event.window[1] - event.window[0]).days + 1 == 7
        if event.repeat:
            assert (event.repeat[1] - event.repeat[0]).days + 1 == 14
        if event.is_event:
            assert event.event_on
            assert event.window
            assert event.window[0] <= event.event_on <= event.window[1]
            assert event.repeat
            assert event.repeat[0] == event.event_on


@given(timelines())
def test_attribution_periods_are_as_long_as_the_rules_say(timeline: Timeline) -> None:
    admissions = admissions_of(timeline)
    for infection in timeline.other_infections:
        low, high = attribution_period(infection, admissions, PROTOCOL)
        assert high is not None
        length = (high - low).days + 1
        assert length == 17 if infection.kind == "ssi" else 14 <= length <= 20
        if infection.kind != "ssi" and infection.window:
            assert length == 14 + (infection.event_on - infection.window[0]).days


@given(timelines())
def test_every_specimen_that_grew_is_settled_once_and_says_why(
    timeline: Timeline,
) -> None:
    events = determine(timeline, PROTOCOL)
    names = [name for event in events for name in event.specimens]

    assert sorted(names) == sorted(s.id for s in timeline.specimens if s.organisms)
    for event in events:
        assert event.steps
        assert all(step.rule in PROTOCOL.rules for step in event.steps)


@given(timelines())
def test_a_clabsi_is_healthcare_associated_and_has_a_place(timeline: Timeline) -> None:
    for event in determine(timeline, PROTOCOL):
        if event.is_clabsi:
            assert event.is_healthcare_associated
            assert event.location
            assert not event.exclusions
            assert "LCBI" in event.type


@given(timelines())
def test_two_events_of_one_admission_never_share_a_timeframe(
    timeline: Timeline,
) -> None:
    admissions = admissions_of(timeline)
    assume(len(admissions) == 1)
    made = [event for event in determine(timeline, PROTOCOL) if event.is_event]
    inside = [e for e in made if e.event_on and admissions[0].holds(e.event_on)]
    for first in inside:
        for second in inside:
            if first is not second and first.event_on and second.event_on:
                assert abs((first.event_on - second.event_on).days) >= 14
