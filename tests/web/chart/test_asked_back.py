"""An unlikely length or mass comes back once, in every form, with all that was typed."""

from __future__ import annotations

from datetime import timedelta
from html import unescape
from html.parser import HTMLParser
from typing import TYPE_CHECKING, Any

import pytest
from django.contrib.auth.models import User
from tests.web.hospital import hospital_with_a_line

from lumenkeep.core.entries import every_kind
from lumenkeep.core.entries.answers import Measure
from lumenkeep.core.reading import line_reading
from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.charting import bedside
from lumenkeep.ward.chart.models import EntryRow
from lumenkeep.ward.chart.pages import shown_form as held
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.chart.store.repository import ChartRepository

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from django.http import HttpResponse
    from django.test import Client
    from tests.fakes.clock import FixedClock

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.reading.line_reading import LineReading

PASSWORD = "a password of some length"  # noqa: S105
CHANGE = {
    "chart-changed-at": "2026-11-25T11:30", "chart-site": "healthy",
    "chart-stitches": "0", "chart-tolerance": "calm", "chart-outcome": "holds",
    "dressing": "transparent-chg-gel", "agent": "chlorhexidine-alcohol",
    "because": "planned", "assistant": "",
}  # fmt: skip
LOOK = {
    "looked-at": "2026-11-25T11:30", "chart-stitches": "0", "note": "by daylight",
}  # fmt: skip
INSERTED = {
    "kind": "picc", "site": "upper-arm", "inserted-at": "2026-11-15T11:00",
    "stitches": "0",
}  # fmt: skip
WEIGHT = {"seen-at": "2026-11-25T11:30"}
GUT = {"kind": "stool", "ml_24h": "900", "at": "2026-11-25T11:30"}

# By kind: address, what else is typed, the field, a likely, an unlikely and another
# unlikely value, and what is asked of the first of those. The last length is 20 mm,
# the last weighing 16.4 kg.
FORMS: dict[str, tuple[str, dict[str, str], str, tuple[str, str, str, str]]] = {
    "dressing-change": (
        "/line/l-1/chart/change/", CHANGE, "chart-external-length",
        ("22", "185", "210", "20 mm last time. 185?"),
    ),
    "site-check": (
        "/line/l-1/look/", LOOK, "chart-external-length",
        ("22", "185", "210", "20 mm last time. 185?"),
    ),
    "weight": (
        "/line/l-1/chart/fact/weight/", WEIGHT, "weight-g",
        ("16600", "61000", "9000", "16.4 kg on 14 Nov. 61 kg?"),
    ),
    "gut": (
        "/infections/line/l-1/chart/gut/", GUT, "mass_kg",
        ("16,6", "61", "9", "16.4 kg on 14 Nov. 61 kg?"),
    ),
    "line-inserted": (
        "/line/l-1/entry/{line-inserted}/correct/", INSERTED, "external-length-mm",
        ("22", "185", "210", "20 mm the next time. 185?"),
    ),
}  # fmt: skip


class Page(HTMLParser):
    """What stands in the fields of a page, what its box of faults leads to, its ids."""

    def __init__(self, answer: HttpResponse) -> None:
        super().__init__()
        self.text = unescape(answer.content.decode())
        self.values: dict[str, str] = {}
        self.links: list[str] = []
        self.described: dict[str, str] = {}
        self.ids: set[str] = set()
        self._select = self._area = ""
        self.feed(answer.content.decode())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {key: value or "" for key, value in attrs}
        self.ids.add(told.get("id", ""))
        name = told.get("name", "")
        if tag == "select":
            self._select = name
        if tag == "option" and "selected" in told:
            self.values[self._select] = told["value"]
        if tag == "input" and name:
            self.described[name] = told.get("aria-describedby", "")
            if told.get("type") not in ("radio", "checkbox") or "checked" in told:
                self.values[name] = told.get("value", "")
        if tag == "textarea":
            self._area = name
            self.values[name] = ""
        if tag == "a":
            self.links.append(told.get("href", ""))

    def handle_endtag(self, tag: str) -> None:
        if tag == "textarea":
            self._area = ""

    def handle_data(self, data: str) -> None:
        if self._area:
            self.values[self._area] += data


@pytest.fixture
def chart(db: None, clock: FixedClock) -> ChartRepository:
    """A line of 20 mm, put in ten days ago."""
    make_accounts(STAFF, PASSWORD)
    return hospital_with_a_line(clock)


@pytest.fixture
def nurse(client: Client, chart: ChartRepository) -> Client:
    client.force_login(User.objects.get(username="agate"))
    return client


def measured(
    chart: ChartRepository, clock: FixedClock, mm: float, hours: float
) -> None:
    """Chart a length of some hours ago."""
    at = clock.at
    clock.move(hours=-hours)
    body = {"external_length_mm": mm}
    chart.append([Draft("c-1", "l-1", "site-check", clock.at, "s", body)], "quillmere")
    clock.at = at


def address(path: str) -> str:
    for kind in every_kind():
        if f"{{{kind}}}" in path:
            return path.replace(f"{{{kind}}}", str(EntryRow.objects.get(kind=kind).pk))
    return path


def newest() -> EntryRow:
    return EntryRow.objects.order_by("-pk")[0]


def sent(nurse: Client, path: str, typed: dict[str, str], **more: str) -> HttpResponse:
    return nurse.post(path, {"do": "chart", "submission": "f-1", **typed, **more})


def again(nurse: Client, path: str, page: Page, **put_right: str) -> HttpResponse:
    """Send a form as its page shows it, with some fields put right."""
    return nurse.post(path, {"do": "chart", **page.values, **put_right})


def measuring_kinds() -> set[str]:
    return {
        kind.id
        for kind in every_kind().values()
        if kind.form is not None
        for field in kind.fields
        if field.is_asked
        and isinstance(field.answer, Measure)
        and field.answer.bound in ("external-length-mm", "mass-g")
    }


def test_every_form_that_measures_a_length_or_a_mass_is_tried_here() -> None:
    assert set(FORMS) == measuring_kinds()


@pytest.fixture
def form(
    chart: ChartRepository, request: Any
) -> tuple[str, dict[str, str], str, tuple[str, str, str, str]]:
    path, typed, field, values = FORMS[request.param]
    return address(path), typed, field, values


every_form = pytest.mark.parametrize("form", FORMS, indirect=True)


@every_form
def test_a_likely_value_is_charted_unasked(nurse: Client, form: Any) -> None:
    path, typed, field, (likely, *_) = form

    assert sent(nurse, path, typed, **{field: likely}).status_code == 302


@every_form
def test_an_unlikely_value_comes_back_at_its_field_with_all_that_was_typed(
    nurse: Client, form: Any
) -> None:
    path, typed, field, (_, unlikely, _, question) = form
    before = newest().pk

    answer = sent(nurse, path, typed, **{field: unlikely})

    page = Page(answer)
    assert answer.status_code == 422
    assert newest().pk == before
    assert question in page.text
    assert "1 thing is asked back." in page.text
    assert "must be put right" not in page.text
    assert page.values[field] == unlikely
    assert {name: page.values.get(name, "") for name in typed} == typed
    assert f"#{field}" in page.links
    assert field in page.ids
    assert f"{field}-fault" in page.described[field].split()
    assert f"{field}-fault" in page.ids


@every_form
def test_sent_again_unchanged_it_is_charted(nurse: Client, form: Any) -> None:
    path, typed, field, (_, unlikely, *_) = form
    page = Page(sent(nurse, path, typed, **{field: unlikely}))
    before = newest().pk

    answer = again(nurse, path, page)

    assert answer.status_code == 302, unescape(answer.content.decode())
    assert newest().pk > before
    assert float(unlikely) in newest().body.values()


@every_form
def test_another_unlikely_value_is_asked_again(nurse: Client, form: Any) -> None:
    path, typed, field, (_, unlikely, other, _) = form
    page = Page(sent(nurse, path, typed, **{field: unlikely}))

    second = again(nurse, path, page, **{field: other})

    assert second.status_code == 422
    assert "1 thing is asked back." in second.content.decode()
    assert again(nurse, path, Page(second)).status_code == 302
    assert float(other) in newest().body.values()


@every_form
def test_a_value_put_right_is_taken(nurse: Client, form: Any) -> None:
    path, typed, field, (likely, unlikely, *_) = form
    page = Page(sent(nurse, path, typed, **{field: unlikely}))

    assert again(nurse, path, page, **{field: likely}).status_code == 302
    assert float(likely.replace(",", ".")) in newest().body.values()


@every_form
def test_what_was_answered_is_not_asked_again_for_another_fault(
    nurse: Client, form: Any
) -> None:
    path, typed, field, (_, unlikely, *_) = form
    when = next(name for name, text in typed.items() if text.startswith("2026-11"))
    page = Page(sent(nurse, path, typed, **{field: unlikely}))

    wrong = again(nurse, path, page, **{when: "2031-01-01T00:00"})

    assert wrong.status_code == 422
    assert "asked back" not in wrong.content.decode()
    right = again(nurse, path, Page(wrong), **{when: typed[when]})
    assert right.status_code == 302


@pytest.mark.parametrize(
    ("mm", "asked"),
    [
        ("65", ""),
        ("65.1", "20 mm last time. 65.1?"),
        ("2.1", "Do you mean 21 mm?"),
        ("3.2", ""),
        ("200", "Do you mean 20 mm?"),
        ("222", "Do you mean 22 mm?"),
    ],
)
def test_a_length_is_asked_back_beyond_how_far_lines_move_and_for_a_slip(
    nurse: Client, mm: str, asked: str
) -> None:
    answer = sent(nurse, "/line/l-1/look/", LOOK, **{"chart-external-length": mm})

    assert answer.status_code == (422 if asked else 302)
    assert asked in unescape(answer.content.decode())


@pytest.mark.parametrize(
    ("grams", "asked"),
    # 11 days and 2 1/2 hours later: less by 20 % a week, or more by 25 %.
    [
        ("11197", ""),
        ("11196", "16.4 kg on 14 Nov. 11.196 kg?"),
        ("22903", ""),
        ("22904", "16.4 kg on 14 Nov. 22.904 kg?"),
        ("1640", "cannot be the mass of a child of this age"),
        ("164000", "Do you mean 16.4 kg?"),
    ],
)
def test_a_mass_is_asked_back_or_refused_at_its_limits(
    nurse: Client, grams: str, asked: str
) -> None:
    path = "/line/l-1/chart/fact/weight/"
    answer = sent(nurse, path, WEIGHT, **{"weight-g": grams})

    assert answer.status_code == (422 if asked else 302)
    assert asked in unescape(answer.content.decode())


def test_an_impossible_length_is_refused_however_often_and_says_what_was_meant(
    nurse: Client,
) -> None:
    typed = {**LOOK, "chart-external-length": "2000"}
    page = Page(sent(nurse, "/line/l-1/look/", typed))
    assert "2000 mm cannot lie outside the skin: 0 to 600 mm can." in page.text
    assert "1 thing must be put right." in page.text
    assert page.values["chart-external-length"] == "2000"

    sure = {"chart-external-length-sure": "2000"}
    assert again(nurse, "/line/l-1/look/", page, **sure).status_code == 422


def test_a_look_with_an_impossible_length_alone_is_not_told_that_it_says_nothing(
    nurse: Client,
) -> None:
    typed = {"looked-at": LOOK["looked-at"], "chart-external-length": "2000"}
    said = sent(nurse, "/line/l-1/look/", typed).content.decode()

    assert "1 thing must be put right." in said
    assert "Nothing is chosen." not in said


def test_a_mass_of_a_new_child_that_cannot_be_is_refused(nurse: Client) -> None:
    typed = {
        "child": "new", "name": "Demo Yarrow", "bed": "11",
        "came-at": "2026-11-24 20:00", "born": "2021-11-24", "weight-g": "1800",
        "kind": "picc", "inserted-at": "2026-11-25 09:00",
        "external-length-mm": "601",
    }  # fmt: skip
    answer = sent(nurse, "/ward/kestrel/new-line/", typed)
    said = unescape(answer.content.decode())

    assert answer.status_code == 422
    assert "1.8 kg cannot be the mass of a child of this age" in said
    assert "601 mm cannot lie outside the skin" in said


def test_a_correction_is_judged_without_the_entry_that_it_corrects(
    nurse: Client, chart: ChartRepository, clock: FixedClock
) -> None:
    measured(chart, clock, 120, hours=3)
    path = f"/line/l-1/entry/{newest().pk}/correct/"
    field = "chart-external-length"
    typed = {**LOOK, "looked-at": "2026-11-25T09:00"}

    asked = sent(nurse, path, typed, **{field: "121"})
    assert "20 mm last time. 121?" in unescape(asked.content.decode())
    assert sent(nurse, path, typed, **{field: "21"}).status_code == 302


@pytest.mark.parametrize(
    ("mm", "said", "asks_again"),
    [
        ("21", "", False),
        (
            "34",
            "14 mm out from 20 mm at first: more than measuring error usually makes.",
            True,
        ),
        ("45", "Moved 25 mm out from 20 mm at first.", False),
    ],
)
def test_the_next_page_says_at_once_what_a_length_asks_for(
    nurse: Client, mm: str, said: str, asks_again: bool
) -> None:
    answer = sent(nurse, "/line/l-1/look/", LOOK, **{"chart-external-length": mm})
    page = Page(nurse.get(answer["Location"]))
    box = page.text.split('class="charted"')[1].split("</section>")[0]

    assert said in box
    assert ('class="charted-length' in box) == bool(said)
    assert ("Chart the second measurement" in box) == asks_again
    assert ("/line/l-1/look/" in box) == asks_again
    assert ("Do not use the line until" in box) == (said.startswith("Moved"))


def charted_length(nurse: Client, arm: str, **told: str) -> HttpResponse:
    """Chart a line in the arm and a length with the arm so; return the next page."""
    at = {"inserted-at": "2026-11-20T09:00", "child": "c-1", "external-length-mm": "20"}
    typed = {**INSERTED, **at, **told}
    sent(nurse, "/ward/kestrel/new-line/", typed)
    look = f"/line/{newest().line}/look/"
    typed = {**LOOK, "chart-external-length": "27", "chart-arm": arm}
    return nurse.get(sent(nurse, look, typed, submission="f-2")["Location"])


def test_how_the_arm_lay_is_asked_of_the_first_length_as_the_policy_says_it(
    nurse: Client,
) -> None:
    page = nurse.get("/ward/kestrel/new-line/").content.decode()
    assert "How the arm lay while measuring" in page
    assert 'name="chart-arm" value="away from the body"' in page

    charted_length(nurse, "bent", **{"chart-arm": "bent"})
    inserted = EntryRow.objects.filter(kind="line-inserted").order_by("-pk")[0]
    assert inserted.body["arm"] == "bent"


def test_a_first_length_is_compared_with_those_of_the_arm_alike(nurse: Client) -> None:
    alike = charted_length(nurse, "bent", **{"chart-arm": "bent"}).content.decode()

    assert (
        "7 mm out from 20 mm at first: more than measuring error usually makes."
        in alike
    )
    assert "measure again, with the arm bent," in alike


def test_a_first_length_with_the_arm_otherwise_asks_for_nothing(nurse: Client) -> None:
    other = charted_length(nurse, "bent", **{"chart-arm": "at the side"})

    assert 'class="charted-length' not in other.content.decode()


def test_a_line_elsewhere_has_no_arm_to_chart(nurse: Client) -> None:
    charted_length(nurse, "", **{"chart-arm": "bent", "site": "chest"})
    inserted = EntryRow.objects.filter(kind="line-inserted").order_by("-pk")[0]

    assert inserted.body["external_length_mm"] == 20
    assert "arm" not in inserted.body


@pytest.mark.parametrize(
    "path",
    [
        "/line/l-1/chart/change/", "/line/l-1/look/", "/line/l-1/chart/fact/weight/",
        "/line/l-1/move/", "/line/l-1/out/", "/line/l-1/round/",
        "/infections/line/l-1/chart/gut/",
    ],
)  # fmt: skip
def test_a_form_reads_a_line_once(
    nurse: Client, monkeypatch: pytest.MonkeyPatch, path: str
) -> None:
    read: list[datetime] = []

    def counted(*asked: Any, **more: Any) -> LineReading:
        read.append(asked[1])
        return line_reading.read_line(*asked, **more)

    for module in (bedside, held):
        monkeypatch.setattr(module, "read_line", counted)
    assert nurse.get(path).status_code == 200
    assert len(read) == 1


def test_a_form_that_is_sent_and_comes_back_has_read_the_line_once(
    nurse: Client, chart: ChartRepository, monkeypatch: pytest.MonkeyPatch
) -> None:
    entries = ChartRepository.entries
    read: list[str] = []

    def counted(self: ChartRepository, line: str) -> Sequence[Entry]:
        read.append(line)
        return entries(self, line)

    monkeypatch.setattr(ChartRepository, "entries", counted)
    assert sent(nurse, "/line/l-1/chart/fact/weight/", WEIGHT).status_code == 422
    assert read == ["l-1"]


def test_a_form_says_that_the_line_must_not_be_used_also_to_correct_why(
    nurse: Client, chart: ChartRepository, clock: FixedClock
) -> None:
    measured(chart, clock, 45, hours=3)
    correction = f"/line/l-1/entry/{newest().pk}/correct/"

    for path in ("/line/l-1/look/", "/line/l-1/chart/fact/weight/", correction):
        assert "Do not use this line" in nurse.get(path).content.decode()


def test_a_weight_says_nothing_of_a_line_that_moved_before(
    nurse: Client, chart: ChartRepository, clock: FixedClock
) -> None:
    measured(chart, clock, 45, hours=3)
    answer = sent(
        nurse, "/line/l-1/chart/fact/weight/", WEIGHT, **{"weight-g": "16600"}
    )

    assert 'class="charted-length' not in nurse.get(answer["Location"]).content.decode()


@pytest.mark.parametrize("seconds", [0, 40])
def test_a_second_change_of_the_same_minute_is_charted_after_the_first(
    nurse: Client, chart: ChartRepository, clock: FixedClock, seconds: int
) -> None:
    path, typed = FORMS["dressing-change"][:2]
    first = clock.at - timedelta(minutes=30) + timedelta(seconds=seconds)
    body = {"external_length_mm": 22, "dressing": "gauze", "because": "planned"}
    chart.append(
        [Draft("c-1", "l-1", "dressing-change", first, "s", body)], "quillmere"
    )

    asked = sent(nurse, path, typed, **{"chart-external-length": "185"})
    page = Page(asked)

    assert "22 mm last time. 185?" in page.text
    assert "the last change" not in page.text
    assert page.values["chart-external-length-sure"] == "185"

    assert again(nurse, path, page, **CHANGE).status_code == 302
    assert newest().happened_at == first
    line = chart.line("l-1")
    assert line is not None
    assert line.state.lengths[-1][1] == 185


def test_what_is_unlikely_is_asked_back_beside_what_is_wrong(nurse: Client) -> None:
    path, typed = FORMS["dressing-change"][:2]
    early = {"chart-changed-at": "2026-11-20T11:00", "chart-external-length": "185"}

    page = Page(sent(nurse, path, typed, **early))

    assert "this is before the last change on the chart" in page.text
    assert "20 mm last time. 185?" in page.text


def test_the_form_and_the_page_compare_with_the_same_length(nurse: Client) -> None:
    """The first length of all lay with the arm otherwise: nothing is held against it."""
    line = charted_length(nurse, "bent").request["PATH_INFO"].rstrip("/")
    look = {**LOOK, "chart-external-length": "27", "chart-arm": "bent"}
    sent(
        nurse,
        f"{line}/look/",
        look,
        submission="f-3",
        **{"looked-at": "2026-11-25T11:20"},
    )

    form = unescape(nurse.get(f"{line}/look/").content.decode())
    page = unescape(nurse.get(f"{line}/").content.decode())

    assert "Compared with 27 mm at first with the arm bent." in form
    assert "First measured" not in form
    assert "27 mm, as at first with the arm bent." in page
