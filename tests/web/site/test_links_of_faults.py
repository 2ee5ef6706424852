"""Every form, sent empty and wrong: each fault leads to a place that is on the page."""

from __future__ import annotations

from datetime import timedelta
from html.parser import HTMLParser
from typing import TYPE_CHECKING, Any

import pytest
from django.contrib.auth.models import User
from django.urls import get_resolver
from tests.web.hospital import add_line, make_wards
from tests.web.policies.life.versions_made import draft_with

from lumenkeep.core.entries.kinds.of_infection import OF_INFECTION
from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.pages.facts import CHARTED_BY_FORM
from lumenkeep.ward.chart.pages.kind_form import TASK_FORMS
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.ward.policies.repository import VersionRepository

if TYPE_CHECKING:
    from collections.abc import Iterator

    from django.http import HttpResponse
    from django.test import Client
    from tests.fakes.clock import FixedClock

PASSWORD = "a password of some length"  # noqa: S105
HIDDEN = {"csrfmiddlewaretoken", "submission", "seen", "proposal", "unit"}
WRONG = ("", "x", "-1", "999999999", "2031-01-01T00:00")
CORRECTED: dict[str, dict[str, Any]] = {
    "dressing-change": {"dressing": "transparent", "agent": "povidone-iodine"},
    "finding": {"findings": ["damp"]},
    "weight": {"g": 16_000},
    "site-check": {"signs": ["discharge"]},
    "specimen": {
        "source": "blood", "draw": "arm", "method": "culture", "result": "grew",
        "organisms": ["Klebsiella oxytoca"],
    },
}  # fmt: skip
OF_CHILD = ("weight", "specimen")

# By the name of their address: every form that says at its top what is wrong with it.
FORMS: dict[str, tuple[str, ...]] = {
    "password": ("/password/",),
    "enter-line": ("/ward/kestrel/new-line/",),
    "chart-change": ("/line/l-1/chart/change/", "/line/l-2/chart/change/"),
    "chart-finding": ("/line/l-1/chart/finding/",),
    "chart-task": tuple(f"/line/l-2/chart/task/{task}/" for task in TASK_FORMS),
    "chart-fact": tuple(f"/line/l-1/chart/fact/{fact}/" for fact in CHARTED_BY_FORM),
    "chart-kind": tuple(
        f"/line/l-2/chart/{kind}/"
        for kind in ("re-cover", "line-use", "patency", "line-tip", "line-access")
    ),
    "correct": tuple(f"/line/l-1/entry/{{{kind}}}/correct/" for kind in CORRECTED),
    "move-child": ("/line/l-1/move/",),
    "line-out": ("/line/l-1/out/",),
    "look": ("/line/l-1/look/",),
    "concern-raise": ("/line/l-1/raise/",),
    "concern-hand-on": ("/line/l-1/concern/pus:{site-check}/hand-on/",),
    "concern-close": ("/line/l-1/concern/pus:{site-check}/close/",),
    "infection": ("/infections/blood/{specimen}/",),
    "chart-infection": tuple(
        f"/infections/line/l-1/chart/{kind.id}/" for kind in OF_INFECTION if kind.form
    ),
    "outcome-count": ("/outcomes/kestrel/count/",),
    "outcome-baseline": ("/outcomes/kestrel/baseline/",),
    "round-look": ("/line/l-1/round/",),
    "policy-number": tuple(
        f"/policy/draft/{{draft}}/number/{number}/"
        for number in ("chg-mass", "chg-gestation", "dressing-transparent")
    ),
    "policy-rule": tuple(
        f"/policy/draft/{{draft}}/rule/{rule}/"
        for rule in (
            "exclude/chg-gestation", "exclude/chg-mass", "interval/connector-window",
            "interval/uac-stays", "note/pvi-repeated",
            "require/require-none-on-broken-skin",
        )
    ),
    "policy-new-rule": tuple(
        f"/policy/draft/{{draft}}/new/{kind}/"
        for kind in ("exclude", "interval", "refer", "note", "at_once")
    ),
    "policy-about": ("/policy/draft/{draft}/about/",),
    "policy-source": ("/policy/draft/{draft}/source/",),
}  # fmt: skip
ASKED = {
    "dressing-life": "/dressing-life/all/?split=x&kind=x&first=x&last=x&day=x",
}
"""Pages that are asked by their address, and say what cannot be asked."""
WITHOUT = {
    "pages that are only read": (
        "home", "ward", "ward-strips", "line", "plan", "plan-spares", "ward-concerns",
        "ward-handover", "concern", "infections", "line-infections", "outcomes-home",
        "outcomes", "outcome-days", "outcome-day", "outcome-hour", "round", "rounds",
        "look-back-home", "look-back", "look-back-pdf", "look-back-behind", "policy",
        "policy-draft", "policy-proof", "policy-comparison", "policy-children",
        "policy-child", "policy-export", "policy-version", "policy-version-comparison",
        "policy-version-children", "policy-version-file", "policies", "policy-read",
        "policy-chart", "measuring-error", "breaks", "recovery", "recovery-steps",
    ),
    "a button alone, or a file": (
        "sign-out", "concern-take", "policy-start", "policy-order", "policy-import",
        "policy-hand-over", "policy-put-away", "policy-approve", "policy-in-force",
        "policy-retire", "policy-call-off", "policy-stop", "policy-version-stop",
    ),
    "one sentence above two fields": ("sign-in",),
    "answered in JSON, shown by the guide": (
        "guide-prepare", "guide-shell", "guide-worker", "guide-beat", "guide-manifest",
        "guide-token", "guide-practice", "guide-open", "guide-bundle", "guide-facts",
        "guide-account", "guide-give-up",
    ),
}  # fmt: skip
# Of the entry as a whole, not of a field: "Entry 7 has been corrected already …".
OF_THE_WHOLE = "Entry "


class Read(HTMLParser):
    """The ids and fields of a page, and what its box of faults says and leads to."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.names: list[str] = []
        self.inputs: list[str] = []
        self.rows: list[list[str]] = []
        self.links: list[str] = []
        self._depth = self._elsewhere = 0
        self._in_row = False
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {key: value or "" for key, value in attrs}
        if "id" in told:
            self.ids.append(told["id"])
        if tag in ("input", "select", "textarea") and "name" in told:
            self.names.append(told["name"])
            self.inputs.append(told.get("id", ""))
        if "refused" in told.get("class", "").split():
            self._depth = 1
        elif self._depth and tag in ("div", "section"):
            self._depth += 1
        self._in_box(tag, told)

    def _in_box(self, tag: str, told: dict[str, str]) -> None:
        if not self._depth:
            return
        if tag == "ul":
            self._elsewhere = told.get("class") == "elsewhere"
        if tag == "li" and not self._elsewhere:
            self.rows.append([])
            self._in_row = True
        if tag == "a" and self._in_row:
            self.links.append(told["href"])
            self.rows[-1].append("LINK")

    def handle_endtag(self, tag: str) -> None:
        if self._depth and tag in ("div", "section"):
            self._depth -= 1
        if tag == "li":
            self._in_row = False

    def handle_data(self, text: str) -> None:
        if self._depth and self._in_row:
            self.rows[-1].append(text)


@pytest.fixture
def hospital(
    db: None, client: Client, clock: FixedClock
) -> tuple[Client, dict[str, Any]]:
    """An educator signed in, and the numbers of what the forms are about."""
    make_wards()
    make_accounts(STAFF, PASSWORD)
    chart = ChartRepository(clock)
    clock.at -= timedelta(days=1)
    add_line(chart, clock, 1)
    add_line(chart, clock, 2, kind="port", site="chest")
    clock.at += timedelta(days=1)
    at = clock.at - timedelta(hours=2)
    drafts = [
        Draft("c-1", None if kind in OF_CHILD else "l-1", kind, at, "s-agate", body)
        for kind, body in CORRECTED.items()
    ]
    found: dict[str, Any] = {
        entry.kind: entry.id for entry in chart.append(drafts, "quillmere")
    }
    found["draft"] = draft_with(
        VersionRepository(), clock, "dressing-transparent", 5
    ).key
    client.force_login(User.objects.get(username="agate"))
    return client, found


def _faulty(answer: HttpResponse, said: str) -> Iterator[str]:
    """Yield what is wrong with the links of a refused form."""
    read = Read(answer.content.decode())
    for link in read.links:
        target = link.removeprefix("#")
        if not link.startswith("#") or target not in read.ids:
            yield f"{said}: {link} leads nowhere"
        elif target not in read.inputs:
            yield f"{said}: {link} leads beside the input"
    if answer.status_code == 422 and not read.rows:
        yield f"{said}: refused, and does not say what is wrong"
    for row in read.rows:
        words = "".join(row).strip()
        if "LINK" not in row and not words.startswith(OF_THE_WHOLE):
            yield f"{said}: no link: {words}"


@pytest.mark.parametrize("name", FORMS)
def test_every_fault_leads_to_a_place_on_the_page(
    hospital: tuple[Client, dict[str, Any]], name: str
) -> None:
    client, numbers = hospital
    wrong, refused = [], 0
    for path in FORMS[name]:
        href = path.format(**numbers)
        shown = client.get(href)
        assert shown.status_code == 200, href
        names = set(Read(shown.content.decode()).names) - HIDDEN
        for text in WRONG:
            sent = dict.fromkeys(names, text) | {"do": "save"}
            answer = client.post(href, sent | {"submission": f"{href} {text}"})
            wrong += _faulty(answer, f"{href} with {text!r}")
            refused += answer.status_code == 422 or b'id="refused"' in answer.content

    assert wrong == []
    assert refused, "nothing of this form was ever refused"


@pytest.mark.parametrize("name", ASKED)
def test_what_cannot_be_asked_leads_to_its_field(
    hospital: tuple[Client, dict[str, Any]], name: str
) -> None:
    answer = hospital[0].get(ASKED[name])

    assert Read(answer.content.decode()).rows
    assert list(_faulty(answer, name)) == []


def _addresses(resolver: Any) -> Iterator[str]:
    for one in resolver.url_patterns:
        if hasattr(one, "url_patterns"):
            yield from _addresses(one)
        else:
            yield one.name


def test_no_form_is_left_out() -> None:
    """Whoever adds an address says here whether it shows a form."""
    without = [name for names in WITHOUT.values() for name in names]

    assert sorted(_addresses(get_resolver())) == sorted([*FORMS, *ASKED, *without])


def test_a_link_that_leads_nowhere_is_found() -> None:
    """Planted: a box of faults with a dead link, and a fault without one."""
    page = (
        '<div class="refused"><ul><li><a href="#a">A</a></li><li>Nothing.</li></ul>'
        '</div><div id="b"></div>'
    )

    class Answer:
        status_code = 422
        content = page.encode()

    assert list(_faulty(Answer(), "planted")) == [  # type: ignore[arg-type]
        "planted: #a leads nowhere",
        "planted: no link: Nothing.",
    ]
