"""A run leaves the tablet against the chart's own receipt for it, and nothing less."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect
from tests.browser.guide_tablet import Tablet, with_clock
from tests.fakes.guide_bundle import RUN
from tests.fakes.receipts import receipt_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from playwright.sync_api import Browser, Request, Route

Played = "dict[str, Callable[[Request], dict[str, Any]]]"
TOKEN = {"json": {"token": "t"}}
MAINTENANCE = {"status": "maintenance", "message": "Back at six."}


def _typed(body: Any, content_type: str) -> dict[str, Any]:
    return {"body": json.dumps(body), "content_type": content_type}


# Each an answer to the account, or to the token asked for before, that is no receipt.
NO_RECEIPTS: dict[str, tuple[str, Callable[[Request], dict[str, Any]]]] = {
    "a proxy's maintenance page in JSON": ("account", lambda _: {"json": MAINTENANCE}),
    "an empty table": ("account", lambda _: {"json": {}}),
    "null": ("account", lambda _: {"json": None}),
    "a list": ("account", lambda _: {"json": [1]}),
    "the word alone": ("account", lambda _: {"json": {"status": "written"}}),
    "another run": ("account", lambda r: {"json": {**receipt_of(r), "run": "r-9"}}),
    "another account of this run": (
        "account",
        lambda r: {"json": {**receipt_of(r), "acknowledges": "0" * 64}},
    ),
    "nothing on the chart": (
        "account",
        lambda r: {"json": {**receipt_of(r), "entries": []}},
    ),
    "entries that are none": (
        "account",
        lambda r: {"json": {**receipt_of(r), "entries": ["7"]}},
    ),
    "a word for something else": (
        "account",
        lambda r: {"json": {**receipt_of(r), "status": "given-up"}},
    ),
    "right, but called a page": (
        "account",
        lambda r: _typed(receipt_of(r), "text/html; charset=utf-8"),
    ),
    "right, but of another kind of JSON": (
        "account",
        lambda r: _typed(receipt_of(r), "application/problem+json"),
    ),
    "right, but not 200": (
        "account",
        lambda r: {"status": 203, "json": receipt_of(r)},
    ),
    "cut off": (
        "account",
        lambda r: {
            "body": json.dumps(receipt_of(r))[:-9],
            "content_type": "application/json",
        },
    ),
    "led elsewhere": (
        "account",
        lambda _: {"status": 307, "headers": {"Location": "/guide/elsewhere"}},
    ),
    "faults that are none": ("account", lambda _: {"status": 422, "json": MAINTENANCE}),
    "news that is none": ("account", lambda _: {"status": 409, "json": MAINTENANCE}),
    "a page for the token": (
        "token",
        lambda _: {"body": "<p>Back at six.</p>", "content_type": "text/html"},
    ),
    "no token": ("token", lambda _: {"json": MAINTENANCE}),
}


@pytest.fixture
def played() -> Any:
    """What the played server answers, by the last word of the address."""
    return {"token": lambda _: TOKEN, "account": lambda _: {"json": MAINTENANCE}}


@pytest.fixture
def tablet(browser: Browser, demo: str, played: Any) -> Iterator[Tablet]:
    context = browser.new_context(service_workers="block")

    def answer(route: Route) -> None:
        asked = route.request
        if asked.url.endswith("/elsewhere"):
            route.fulfill(json=receipt_of(asked))
            return
        word = asked.url.rsplit("/", 1)[-1].split("?")[0]
        found = played.get(word)
        if found is None:
            route.abort()
        else:
            route.fulfill(**found(asked))

    context.route(re.compile("/guide/(token|runs/|elsewhere)"), answer)
    found = with_clock(context, demo)
    complaints: list[str] = []
    found.page.on("pageerror", lambda error: complaints.append(str(error)))
    found.keep()
    found.open()
    yield found
    context.close()
    assert not complaints


def test_only_a_receipt_for_exactly_this_run_takes_it_off_the_tablet(
    tablet: Tablet, played: Any
) -> None:
    told = tablet.page.locator("#sending")
    tablet.begin().run_through()
    tablet.send()
    expect(told).to_contain_text("not on the chart yet")

    for name, (word, answer) in NO_RECEIPTS.items():
        tries = tablet.kept("outbox")[0]["tries"]
        played |= {"token": lambda _: TOKEN, word: answer}
        tablet.page.get_by_role("button", name="Try now").click()
        tablet.until_kept("outbox", f"(one) => one.tries > {tries}")

        (entry,) = tablet.kept("outbox")
        assert (entry["status"], entry.get("halted")) == ("no-answer", None), name
        assert [one["run"] for one in tablet.kept("runs")] == [RUN], name
        assert tablet.events("next"), name
        assert tablet.kept("receipts") == [], name
        expect(told).to_contain_text("Kept on this tablet, and not on the chart yet")

    played |= {"token": lambda _: TOKEN, "account": lambda r: {"json": receipt_of(r)}}
    tablet.page.get_by_role("button", name="Try now").click()
    expect(told).to_contain_text("It is on the chart")
    assert [tablet.kept(name) for name in ("runs", "events", "outbox")] == [[], [], []]


def test_what_was_not_confirmed_is_tried_again_by_itself(
    tablet: Tablet, played: Any
) -> None:
    tablet.begin().run_through()
    tablet.send()
    expect(tablet.page.locator("#sending")).to_contain_text("tried again by itself")

    played["account"] = lambda asked: {"json": receipt_of(asked)}
    tablet.let_time_run()

    expect(tablet.page.locator("#sending")).to_contain_text("It is on the chart")


def test_the_list_says_that_a_run_is_not_on_the_chart_yet(tablet: Tablet) -> None:
    tablet.begin().run_through()
    tablet.send()
    expect(tablet.page.locator("#sending")).to_contain_text("not on the chart yet")

    tablet.page.goto(f"{tablet.address}/guide/")

    row = tablet.page.locator(".g-kept-row")
    expect(row).to_contain_text("not on the chart yet: tried again by itself")


def test_a_page_in_between_is_not_read_as_nothing_new(
    tablet: Tablet, played: Any
) -> None:
    played["facts"] = lambda _: {"json": MAINTENANCE}

    tablet.begin().go_to("Sterile gloves on")

    expect(tablet.page.locator(".g-facts")).to_contain_text("No answer: the chart was")
