"""Elapsed time, the calendar, gestation and their laws."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, tzinfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.strategies import instants, zones

from lumenkeep.core.model import Birth, CalendarSpan, Elapsed, Gestation, utc

seconds = st.integers(0, 400 * 86400)
months = st.integers(0, 30)
days = st.integers(0, 400)


@given(instants, zones, seconds, seconds)
def test_elapsed_spans_add_up_whatever_the_clocks_do(
    start: datetime, zone: tzinfo, one: int, two: int
) -> None:
    in_two_steps = Elapsed(two).after(Elapsed(one).after(start, zone), zone)

    assert in_two_steps == Elapsed(one + two).after(start, zone)
    assert in_two_steps - start == timedelta(seconds=one + two)


@given(instants, zones, days)
def test_calendar_days_keep_the_wall_time(
    start: datetime, zone: tzinfo, count: int
) -> None:
    """Unless the clocks skip that time of day: then it is at most some hours off."""
    before = start.astimezone(zone)
    after = CalendarSpan(0, count).after(start, zone).astimezone(zone)
    wanted = before.replace(tzinfo=None) + timedelta(days=count)

    off = after.replace(tzinfo=None) - wanted
    exists = wanted.replace(tzinfo=zone).astimezone(UTC).astimezone(zone)
    assert off == exists.replace(tzinfo=None) - wanted
    assert off <= timedelta(hours=24)


@given(instants, days)
def test_without_clock_changes_a_day_has_24_hours(start: datetime, count: int) -> None:
    assert CalendarSpan(0, count).after(start, UTC) == Elapsed(count * 86400).after(
        start, UTC
    )


@given(instants, zones, months, days)
def test_calendar_spans_never_run_backwards(
    start: datetime, zone: tzinfo, month: int, day: int
) -> None:
    assert CalendarSpan(month, day).after(start, zone) >= start - timedelta(hours=2)
    assert CalendarSpan(month, day + 2).after(start, zone) > CalendarSpan(
        month, day
    ).after(start, zone)
    assert CalendarSpan(month + 1, 0).after(start, zone) > CalendarSpan(month, 0).after(
        start, zone
    )


@given(instants, instants, zones, months, days)
def test_a_later_start_never_ends_earlier(
    one: datetime, two: datetime, zone: tzinfo, month: int, day: int
) -> None:
    """By more than the clocks can be turned."""
    early, late = sorted((one, two))
    span = CalendarSpan(month, day)

    assert span.after(early, zone) <= span.after(late, zone) + timedelta(hours=2)


@given(instants, zones, months)
def test_a_month_ends_on_the_same_day_or_on_the_last(
    start: datetime, zone: tzinfo, count: int
) -> None:
    before = start.astimezone(zone)
    wanted = before.month - 1 + count

    after = CalendarSpan(count, 0).after(start, zone).astimezone(zone)

    if (after.year, after.month) == (before.year + wanted // 12, wanted % 12 + 1):
        tomorrow = after + timedelta(days=1)
        assert after.day == before.day or (
            after.day < before.day and tomorrow.month != after.month
        )
    else:  # a zone that skipped a whole day of its calendar
        assert str(zone) == "Pacific/Apia"


@given(instants, zones)
def test_a_birth_date_spans_the_day_and_holds_its_instant(
    moment: datetime, zone: tzinfo
) -> None:
    born = Birth.on(moment.astimezone(zone).date(), zone)

    assert born.earliest <= moment < born.latest
    assert timedelta(hours=22) <= born.latest - born.earliest <= timedelta(hours=26)
    assert not born.is_exact
    assert Birth.at(moment).is_exact


@given(st.datetimes())
def test_an_instant_without_a_zone_is_refused(moment: datetime) -> None:
    with pytest.raises(ValueError, match="an instant needs its offset from UTC"):
        utc(moment)


@given(st.integers(0, 99 * 7 + 6))
def test_a_gestation_reads_back_as_it_was_written(exact: int) -> None:
    gestation = Gestation(exact, exact)

    assert Gestation.read(str(gestation)) == gestation
    assert Gestation.of(*divmod(exact, 7)) == gestation


@given(st.integers(0, 99))
def test_whole_weeks_read_back_and_span_seven_days(weeks: int) -> None:
    gestation = Gestation.read(f"{weeks}w")

    assert str(gestation) == f"{weeks}w"
    assert Gestation.read(str(gestation)) == gestation
    assert (gestation.days, gestation.until) == (weeks * 7, weeks * 7 + 6)


@given(st.text(alphabet="0123456789wdWD +٣", max_size=8))
def test_no_other_text_is_a_gestation(text: str) -> None:
    try:
        found = Gestation.read(text)
    except ValueError:
        return
    weeks, _, days = text.lower().replace(" ", "").partition("w")
    assert weeks.isascii()
    assert int(weeks) == found.days // 7
    if days:
        assert days == f"{found.days % 7}d"
        assert found.days == found.until
