"""The pages of outcomes: who sees them, what they say, what is entered and refused."""

from __future__ import annotations

from datetime import date, time, timedelta
from typing import TYPE_CHECKING

import pytest
import scipy.optimize
import scipy.stats  # noqa: F401  its loading must not count as a test's time
from django.contrib.auth.models import User
from tests.web.hospital import add_line, make_wards

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.ward.outcomes.models import BaselineRow, HandCount, WardHour
from lumenkeep.ward.outcomes.repository import OutcomeRepository

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client
    from tests.fakes.clock import FixedClock

pytestmark = pytest.mark.django_db
PASSWORD = "a password of some length"  # noqa: S105
COUNT = {"on": "2026-11-25", "children": "9", "with-line": "4", "submission": "f-1"}


@pytest.fixture
def hospital(clock: FixedClock) -> ChartRepository:
    """Three children with a line for ten days, seen each day; wards count at six."""
    make_wards()
    make_accounts(STAFF, PASSWORD)
    book = OutcomeRepository(clock)
    for ward, unit in (("kestrel", "other"), ("wren", "newborn"), ("heron", "other")):
        book.set_hour(ward, date(2026, 1, 1), time(6), unit, "ward rule", "s-agate")
    chart = ChartRepository(clock)
    for number, ward in ((1, "kestrel"), (2, "kestrel"), (3, "wren")):
        add_line(chart, clock, number, ward=ward)
    drafts = [
        Draft(f"c-{n}", f"l-{n}", "site-check", clock.at - timedelta(days=d, hours=1),
              "s-1", {})
        for n in (1, 2, 3)
        for d in range(10)
    ]  # fmt: skip
    drafts += [
        Draft(f"c-{n}", f"l-{n}", "line-tip", clock.at - timedelta(days=9), "s-1",
              {"tip": "great-vessel"})
        for n in (1, 2, 3)
    ]  # fmt: skip
    chart.append(drafts, "quillmere")
    return chart


@pytest.fixture
def signed_in(client: Client, hospital: ChartRepository) -> Callable[[str], Client]:
    def as_(name: str) -> Client:
        client.force_login(User.objects.get(username=name))
        return client

    return as_


def _page(client: Client, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_answer_comes_first_as_a_sentence(signed_in) -> None:
    page = _page(
        signed_in("basalt"), "/outcomes/kestrel/?from=2026-11-17&to=2026-11-25"
    )

    # Two children at 06:00 on nine days.
    assert "No infections in 18 line-days: 0 per 1000 (0 to 204.9)." in page
    assert "18 line-days in 18 child-days: a line on 100 % of days." in page


def test_days_without_a_count_are_said_before_anything_is_used(signed_in) -> None:
    page = _page(
        signed_in("basalt"), "/outcomes/kestrel/?from=2026-11-10&to=2026-11-25"
    )

    assert "Six days could not be counted and are missing from the line-days" in page
    days = _page(signed_in("basalt"),
                 "/outcomes/kestrel/days/?from=2026-11-10&to=2026-11-25&of=missing")  # fmt: skip
    assert "6 days could not be counted." in days
    assert days.count("The chart of this ward had not begun.") == 6


def test_a_number_leads_to_its_days_and_a_day_to_its_entries(signed_in) -> None:
    client = signed_in("basalt")
    page = _page(client, "/outcomes/kestrel/?from=2026-11-17&to=2026-11-25")
    assert "/outcomes/kestrel/days/?from=2026-11-17&amp;to=2026-11-25" in page
    days = _page(client, "/outcomes/kestrel/days/?from=2026-11-17&to=2026-11-25")
    assert "18 line-days and 18 child-days on 9 counted days; 0 missing." in days
    assert "/outcomes/kestrel/days/2026-11-20/" in days

    day = _page(client, "/outcomes/kestrel/days/2026-11-20/")

    assert "2 children, 2 with a line" in day
    assert "/line/l-1/?entries=all#entry-" in day


@pytest.mark.parametrize(
    "path", ["", "days/", "days/2026-11-20/", "count/", "baseline/", "hour/"]
)
def test_another_ward_is_closed(signed_in, path: str) -> None:
    answer = signed_in("onyx").get(f"/outcomes/kestrel/{path}")

    assert answer.status_code == 403
    assert b"Sorrel" not in answer.content


@pytest.mark.parametrize(
    "path",
    [
        "/outcomes/nowhere/",
        "/outcomes/kestrel/days/2026-13-40/",
        "/outcomes/kestrel/days/9999-12-31/",
        "/infections/ward/kestrel/?to=0001-01-02",
    ],
)
def test_what_is_not_there_says_so(signed_in, path: str) -> None:
    assert signed_in("agate").get(path).status_code == 404


def test_one_lands_on_one_s_own_ward(signed_in) -> None:
    assert signed_in("onyx").get("/outcomes/").url == "/outcomes/wren/"
    assert signed_in("agate").get("/outcomes/").url == "/outcomes/kestrel/"


@pytest.mark.parametrize("days", ["to=0001-01-02", "from=9999-12-31&to=9999-12-31"])
def test_days_off_the_calendar_give_the_last_ninety_and_say_so(
    signed_in, days: str
) -> None:
    page = _page(signed_in("basalt"), f"/outcomes/kestrel/?{days}")

    assert "That is no day of the calendar" in page
    assert "28 Aug 2026 to 25 Nov 2026" in page


def test_days_in_the_wrong_order_give_the_last_ninety_and_say_so(signed_in) -> None:
    page = _page(
        signed_in("basalt"), "/outcomes/kestrel/?from=2026-12-01&to=2026-11-01"
    )

    assert "The first day must lie before the last" in page
    assert "28 Aug 2026 to 25 Nov 2026" in page


def test_a_count_by_hand_is_saved_once_and_stands_beside_the_chart(signed_in) -> None:
    client = signed_in("flint")
    for _ in (1, 2):
        assert client.post("/outcomes/kestrel/count/", COUNT).status_code == 302

    assert HandCount.objects.count() == 1
    page = _page(client, "/outcomes/kestrel/?from=2026-11-17&to=2026-11-25")
    assert "Saved for 25 Nov 2026: 9 children, 4 with a line." in page
    assert "Keep counting by hand" in page
    day = _page(client, "/outcomes/kestrel/days/2026-11-25/")
    assert "9 children, 4 with a line." in day
    assert "Demo Flint" in day


def test_a_count_by_hand_fills_a_day_the_chart_could_not_count(signed_in) -> None:
    client = signed_in("flint")
    client.post("/outcomes/kestrel/count/", {**COUNT, "on": "2026-11-12"})

    page = _page(client, "/outcomes/kestrel/?from=2026-11-12&to=2026-11-12")

    assert "No infections in 4 line-days" in page
    assert "One day is counted by hand, where the chart could not." in page


def test_a_second_count_corrects_the_first_and_both_stay(signed_in) -> None:
    client = signed_in("flint")
    client.post("/outcomes/kestrel/count/", COUNT)
    form = _page(client, "/outcomes/kestrel/count/?on=2026-11-25")
    assert "has a count already: what you enter corrects it" in form
    client.post(
        "/outcomes/kestrel/count/", {**COUNT, "children": "8", "submission": "f-2"}
    )

    rows = HandCount.objects.order_by("id")
    assert [(r.children, r.corrects_id) for r in rows] == [(9, None), (8, rows[0].pk)]


def test_another_s_count_is_corrected_by_those_who_may(signed_in) -> None:
    signed_in("flint").post("/outcomes/kestrel/count/", COUNT)
    again = {**COUNT, "children": "8", "submission": "f-2"}

    refused = signed_in("garnet").post("/outcomes/kestrel/count/", again)
    assert refused.status_code == 422
    assert "Somebody else has counted this day already." in refused.content.decode()
    assert (
        signed_in("basalt").post("/outcomes/kestrel/count/", again).status_code == 302
    )


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"children": ""}, "Children here: nothing is filled in."),
        ({"children": "nine"}, "Children here: this is not a whole number."),
        ({"with-line": "10"}, "10 children with a line, but 9 children in all."),
        ({"temporary": "3", "permanent": "2"}, "together are 5, not 4."),
        ({"on": "2026-11-26"}, "Day: this day is still to come."),
        ({"on": "1999-01-01"}, "Day: this is more than a year ago."),
        ({"on": "today"}, "Day: this is no day."),
        ({"children": "4000"}, "above 400, which is not possible."),
    ],
)
def test_a_count_that_cannot_be_is_refused_with_what_was_typed(
    signed_in, changed: dict, says: str
) -> None:
    answer = signed_in("flint").post("/outcomes/kestrel/count/", {**COUNT, **changed})

    page = answer.content.decode()
    assert answer.status_code == 422
    assert says in page
    assert "Nothing has been saved yet." in page
    assert HandCount.objects.count() == 0


def test_all_faults_come_at_once(signed_in) -> None:
    answer = signed_in("flint").post("/outcomes/kestrel/count/", {"submission": "f-1"})

    assert "3 things must be put right." in answer.content.decode()


def test_a_newborn_unit_counts_by_birthweight(signed_in) -> None:
    client = signed_in("onyx")
    form = _page(client, "/outcomes/wren/count/")
    assert "Born at ≤750 g" in form
    groups = {
        "infants-0": "2", "infants-with-line-0": "1",
        "infants-4": "7", "infants-with-line-4": "3",
    }  # fmt: skip
    assert client.post("/outcomes/wren/count/", {**COUNT, **groups}).status_code == 302

    assert HandCount.objects.get().strata == {"≤750 g": [2, 1], ">2500 g": [7, 3]}
    too_many = {**COUNT, "submission": "f-2", "infants-0": "10",
                "infants-with-line-0": "1"}  # fmt: skip
    refused = client.post("/outcomes/wren/count/", too_many)
    assert "The birthweight groups hold 10 infants" in refused.content.decode()


BASELINE = {
    "kind": "infections", "first": "2026-01-01", "last": "2026-12-31",
    "source": "a printed table", "stratum-0": "all", "events-0": "300",
    "days-0": "1000", "submission": "f-1",
}  # fmt: skip


def test_a_baseline_gives_the_ratio_with_its_source(signed_in) -> None:
    client = signed_in("agate")
    page = _page(client, "/outcomes/kestrel/?from=2026-11-17&to=2026-11-25")
    assert "nobody has entered how many infections are predicted" in page

    assert client.post("/outcomes/kestrel/baseline/", BASELINE).status_code == 302

    page = _page(client, "/outcomes/kestrel/?from=2026-11-17&to=2026-11-25")
    assert "0 infections, 5.40 predicted: ratio 0.00 (no lower limit to 0.55)" in page
    assert "Baseline: a printed table, for 1 Jan 2026 to 31 Dec 2026" in page


def test_a_baseline_form_sent_again_with_other_contents_is_refused(signed_in) -> None:
    client = signed_in("agate")
    address = "/outcomes/kestrel/baseline/"
    assert client.post(address, BASELINE).status_code == 302
    assert client.post(address, BASELINE).status_code == 302

    other = client.post(address, {**BASELINE, "events-0": "200"})

    assert other.status_code == 503
    assert "This baseline was saved before; what the form says now is not." in (
        other.content.decode()
    )
    [kept] = BaselineRow.objects.all()
    assert kept.strata == [["all", 300.0, 1000.0]]


def test_a_count_s_form_sent_again_with_other_contents_is_refused(signed_in) -> None:
    client = signed_in("flint")
    address = "/outcomes/kestrel/count/"
    assert client.post(address, COUNT).status_code == 302

    other = client.post(address, {**COUNT, "children": "8"})
    as_before = client.post(address, COUNT)

    assert other.status_code == 503
    assert "This count was saved before; what the form says now is not." in (
        other.content.decode()
    )
    assert as_before.status_code == 302
    assert [row.children for row in HandCount.objects.all()] == [9]


def test_below_one_predicted_there_is_no_ratio(signed_in) -> None:
    client = signed_in("agate")
    exact = {**BASELINE, "first": "2026-11-17", "last": "2026-11-25",
             "predicted": "0.9", "events-0": "", "days-0": ""}  # fmt: skip
    client.post("/outcomes/kestrel/baseline/", exact)

    page = _page(client, "/outcomes/kestrel/?from=2026-11-17&to=2026-11-25")

    assert "No ratio: 0 infections and 0.90 predicted. Below 1 predicted" in page


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"source": ""}, "Source: nothing is filled in."),
        ({"predicted": "3"}, "Give a predicted number or reference rates"),
        ({"events-0": "", "days-0": ""}, "Give a predicted number or reference rates"),
        ({"last": "2025-01-01"}, "The last day lies before the first."),
        ({"days-0": "0"}, "below 1, which is not possible."),
        ({"stratum-1": "temporary", "events-1": "1", "days-1": "9"},
         "Some days would be predicted for twice."),
    ],
)  # fmt: skip
def test_a_baseline_that_cannot_be_is_refused(signed_in, changed: dict, says) -> None:
    answer = signed_in("agate").post(
        "/outcomes/kestrel/baseline/", {**BASELINE, **changed}
    )

    assert answer.status_code == 422
    assert says in answer.content.decode()
    assert BaselineRow.objects.count() == 0


@pytest.mark.parametrize("path", ["baseline/", "hour/"])
def test_a_nurse_sets_no_baseline_and_no_hour(signed_in, path: str) -> None:
    assert signed_in("flint").get(f"/outcomes/kestrel/{path}").status_code == 403
    assert "Enter a baseline" not in _page(signed_in("flint"), "/outcomes/kestrel/")


def test_the_hour_is_set_with_its_source(signed_in) -> None:
    client = signed_in("basalt")
    sent = {"hour": "07:30", "starts-on": "2026-11-20", "unit": "other",
            "source": "night sister"}  # fmt: skip
    assert client.post("/outcomes/kestrel/hour/", sent).status_code == 302
    page = _page(client, "/outcomes/kestrel/")
    assert "Counted at 07:30 each day since 20 Nov 2026 (night sister)." in page

    wrong = client.post("/outcomes/kestrel/hour/", {**sent, "hour": "late"})
    assert "Hour: this is not a time." in wrong.content.decode()
    assert WardHour.objects.filter(ward="kestrel").count() == 2


def test_without_an_hour_the_page_says_what_to_do(signed_in, clock) -> None:
    page = _page(signed_in("agate"), "/outcomes/kestrel/?from=2025-11-17&to=2025-11-25")

    assert "No hour of the count is set for this ward" in page
    assert "there is no rate" in page


def test_a_change_of_practice_is_compared(signed_in) -> None:
    page = _page(
        signed_in("agate"),
        "/outcomes/kestrel/?from=2026-11-17&to=2026-11-25&change=2026-11-21",
    )

    assert "0 per 1000 line-days before, 0 after: no infection on either side." in page
    assert "at least 8 periods, on both sides, are needed" in page


def test_the_page_takes_a_bounded_number_of_queries(
    signed_in, django_assert_max_num_queries
) -> None:
    client = signed_in("agate")
    client.get("/outcomes/kestrel/")
    with django_assert_max_num_queries(20):
        client.get("/outcomes/kestrel/?from=2026-01-01&to=2026-11-25")


def test_an_infection_of_the_chart_counts_and_leads_to_its_page(
    signed_in, hospital, clock
) -> None:
    """Line in for ten days; blood grew a pathogen: proposed, and nobody confirmed it."""
    at = clock.at - timedelta(days=3)
    blood = {"source": "blood", "draw": "left arm", "method": "culture",
             "result": "grew", "organisms": ["Staphylococcus aureus"]}  # fmt: skip
    tip = Draft("c-1", "l-1", "line-tip", at, "s-1", {"tip": "great-vessel"})
    [_, taken] = hospital.append(
        [tip, Draft("c-1", None, "specimen", at, "s-1", blood)], "quillmere"
    )

    page = _page(
        signed_in("basalt"), "/outcomes/kestrel/?from=2026-11-17&to=2026-11-25"
    )

    assert "One infection in 18 line-days: 55.6 per 1000" in page
    assert f'href="/infections/blood/{taken.id}/">Infection of 22 Nov: LCBI-1' in page
    assert "counted as proposed; nobody has confirmed it yet." in page


def test_the_count_as_it_was_known_then_can_be_had_again(signed_in) -> None:
    """All was charted on the 25th: by the end of the 24th nothing was known."""
    client = signed_in("agate")
    days = "from=2026-11-17&to=2026-11-24"
    page = _page(client, f"/outcomes/kestrel/?{days}")
    assert "16 line-days in 16 child-days" in page
    assert f"?{days}&known=2026-11-24".replace("&", "&amp;") in page

    then = _page(client, f"/outcomes/kestrel/?{days}&known=2026-11-24")

    assert "no line-day was counted" in then
    assert "charted until the end of 24 Nov 2026." in then
    behind = _page(client, f"/outcomes/kestrel/days/?{days}&known=2026-11-24")
    assert "0 line-days and 0 child-days on 0 counted days; 8 missing." in behind
    assert "/outcomes/kestrel/days/2026-11-20/?known=2026-11-24" in behind


def test_rules_known_from_memory_are_marked(signed_in) -> None:
    page = _page(signed_in("agate"), "/outcomes/kestrel/")

    assert "To be confirmed against the edition in force" in page
    assert "R28: which units may sample" in page
    assert "Counted by the rules of 2025; those of 2026 are not held here" in page


def test_no_child_is_named_in_an_address_or_on_the_summary(signed_in) -> None:
    page = _page(signed_in("agate"), "/outcomes/kestrel/")

    assert "Sorrel" not in page
