"""At the bedside: one step after another, slips, pauses, and what the tablet keeps."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect
from tests.browser.guide_tablet import PAST_BOUNCE_MS, Tablet, with_clock
from tests.fakes.guide_bundle import RUN, bundle
from tests.fakes.receipts import receipt_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Route

Server = dict[str, Any]
RECEIPT = "a receipt for exactly what was told"


@pytest.fixture
def server() -> Server:
    """What the played server answers, and what it was sent; a test changes it."""
    news = {"mark": "m1", "changed": [], "sent": False}
    return {"facts": news, "account": RECEIPT, "give-up": RECEIPT, "sent": []}


@pytest.fixture
def tablet(browser: Browser, demo: str, server: Server) -> Iterator[Tablet]:
    """A tablet with the small bundle on it, its server played, its clock in our hand."""
    context = browser.new_context(service_workers="block")

    def answer(route: Route) -> None:
        path = route.request.url.rsplit("/", 1)[-1].split("?")[0]
        if path == "account":
            server["sent"].append(json.loads(route.request.post_data or "null"))
        given = server.get(path, {"token": "t"})
        if isinstance(given, list):
            given = given.pop(0) if len(given) > 1 else given[0]
        if given == RECEIPT:
            given = receipt_of(route.request)
        if given is None:
            route.abort()
        else:
            status = given.get("http", 200)
            route.fulfill(status=status, json=given)

    context.route(re.compile("/guide/(token|runs/)"), answer)
    found = with_clock(context, demo)
    complaints: list[str] = []
    found.page.on("pageerror", lambda error: complaints.append(str(error)))
    found.keep()
    found.open()
    yield found
    context.close()
    assert not complaints


def test_a_whole_change_comes_to_one_account(tablet: Tablet, server: Server) -> None:
    tablet.begin().go_to_the_end()

    tablet.send()

    expect(tablet.page.locator("#sending")).to_contain_text("on the chart")
    (account,) = server["sent"]
    assert account["ending"] == "done"
    assert account["values"] == {"length": 42, "site": "healthy", "outcome": "Clean."}
    assert [one["person"] for one in account["confirmed"]] == ["s-1", "s-2"]
    steps = {one["id"]: one for one in account["steps"]}
    assert steps["scrub"]["seconds"] >= 60
    assert steps["dry"]["looked"][0]["answer"] == "yes"
    # Nothing of the child stays.
    for name in ("runs", "events", "pulses", "outbox"):
        assert tablet.kept(name) == []
    assert "Birch" not in json.dumps(tablet.kept("receipts"))


def test_a_timed_step_cannot_be_passed_early_without_a_reason(tablet: Tablet) -> None:
    tablet.begin().go_to("Scrub")
    tablet.wait(6000)
    expect(tablet.page.locator(".g-time-words")).to_contain_text("6 of 60 s")

    tablet.press(tablet.next)
    panel = tablet.page.get_by_role("dialog")
    expect(panel).to_contain_text("54 s are still missing")
    panel.get_by_role("button", name="Use this reason").click()
    expect(panel.get_by_role("alert")).to_contain_text("few words")
    tablet.page.keyboard.press("Escape")
    expect(panel).to_be_hidden()
    expect(tablet.does).to_contain_text("Scrub")

    tablet.press(tablet.next)
    panel.get_by_role("button", name="The child is in danger.").click()

    expect(tablet.does).to_contain_text("Wait")
    assert tablet.state()["done"][-1]["early"] == "The child is in danger."


def test_a_question_why_so_early_goes_when_the_time_is_over(tablet: Tablet) -> None:
    tablet.begin().go_to("Scrub")
    tablet.wait(6000)
    tablet.press(tablet.next)
    panel = tablet.page.get_by_role("dialog")
    expect(panel).to_be_visible()

    tablet.wait(60_000)

    expect(panel).to_be_hidden()
    tablet.press(tablet.next)
    expect(tablet.does).to_contain_text("Wait")
    assert tablet.state()["done"][-1]["early"] is None


def test_dry_needs_the_clock_and_the_look(tablet: Tablet) -> None:
    tablet.begin().go_to("Wait. No wiping")
    dry = tablet.page.locator("#look-yes")
    expect(dry).to_have_attribute("aria-disabled", "true")
    tablet.wait(5000)
    tablet.press(dry)
    expect(tablet.page.locator("#live")).to_contain_text("First the time: 25 s more")

    tablet.wait(26_000)
    expect(tablet.page.locator("#live")).to_contain_text("The time is over. Now look.")
    expect(tablet.next).to_contain_text("look, then say")
    tablet.page.get_by_role("button", name="Still shiny").click()

    expect(tablet.page.locator(".g-time-words")).to_contain_text("0 of 30 s")
    expect(dry).to_have_attribute("aria-disabled", "true")
    tablet.wait(31_000)
    expect(dry).to_have_attribute("aria-disabled", "false")
    dry.click()
    expect(tablet.does).to_contain_text("Film on")
    looks = tablet.state()["done"][-1]["looked"]
    assert [look["answer"] for look in looks] == ["no", "yes"]


def test_what_is_called_out_holds_the_step(tablet: Tablet) -> None:
    tablet.begin().go_to("Measure")
    expect(tablet.page.get_by_text("Last time: 42 mm on 18 November")).to_be_visible()
    tablet.wait(PAST_BOUNCE_MS)

    tablet.press(tablet.next)
    length = tablet.page.get_by_label("External length", exact=True)
    expect(length).to_be_focused()
    expect(tablet.next).to_contain_text("1 thing to chart")
    length.fill("7000")
    expect(tablet.page.locator(".fault").first).to_contain_text("0 to 600")

    tablet.page.get_by_role("button", name="Not known").click()
    tablet.page.get_by_label("Not known, because").fill("Gauze over the mark.")
    expect(tablet.next).to_have_attribute("aria-disabled", "false")
    tablet.next.click()
    expect(tablet.does).to_contain_text("Peel")
    assert tablet.state()["values"]["length"] == {"unknown": "Gauze over the mark."}


def test_a_slip_opens_its_way_back_and_returns(tablet: Tablet) -> None:
    tablet.begin().go_to("Scrub")
    tablet.wait(20_000)
    tablet.slip("ster glo")

    way = tablet.page.locator(".g-way")
    expect(way).to_contain_text("A sterile glove touches the bed.")
    expect(way).to_contain_text("About 20 s longer with the site bare")
    expect(way).to_contain_text("From the spares: 1 × Sterile gloves 6.5")
    expect(way).to_contain_text("Not repeated: 1 step")
    expect(way).to_contain_text("Then step 6")
    tablet.next.click()

    for act in ("Say aloud", "Gloves off", "Clean the hands", "New sterile gloves"):
        expect(tablet.does).to_contain_text(act)
        expect(tablet.head).to_contain_text("Way back")
        tablet.step()
    expect(tablet.head).to_have_text("Step 6 of 9")
    expect(tablet.page.locator(".g-time-words")).to_contain_text("0 of 60 s")
    (slip,) = tablet.state()["slips"]
    assert slip["ended"] == "way-back"
    assert slip["spares"] == {"gloves": 1}


def test_lacking_spares_are_brought_or_it_is_stopped(tablet: Tablet) -> None:
    tablet.begin().go_to("Scrub")
    for _ in range(2):
        tablet.slip("glove")
        if tablet.page.locator(".g-warn").count():
            break
        tablet.go_back()
    warned = tablet.page.locator(".g-warn")
    expect(warned).to_contain_text("Not in the room: 1 × Sterile gloves 6.5")
    expect(warned).to_contain_text("A third person brings it, unopened")
    expect(tablet.next).to_have_count(0)

    tablet.page.get_by_role("button", name="It is here, unopened").click()

    expect(warned).to_have_count(0)
    expect(tablet.next).to_contain_text("Begin the way back")
    assert "Sterile gloves" in tablet.state()["remarks"][0]


def test_a_slip_without_a_way_is_stopped_covered_and_called(
    tablet: Tablet, server: Server
) -> None:
    tablet.begin().go_to("Scrub")
    tablet.slip("28")
    expect(tablet.page.locator("#do-now")).to_have_text("Stop, cover, call")
    tablet.next.click()
    for _ in range(3):
        expect(tablet.head).to_contain_text("Stop, cover, call")
        tablet.step()

    expect(tablet.page.locator(".g-review")).to_contain_text("stopped, covered, called")
    tablet.send()
    expect(tablet.page.locator("#sending")).to_contain_text("on the chart")
    assert server["sent"][0]["ending"] == "stopped"
    assert server["sent"][0]["slips"][0]["ended"] == "stop"


def test_a_pause_warns_while_the_site_is_bare(tablet: Tablet) -> None:
    tablet.begin().go_to("Scrub")
    tablet.wait(10_000)
    tablet.page.keyboard.press("p")
    panel = tablet.page.get_by_role("dialog")
    expect(panel).to_contain_text("The site is bare: nobody leaves it")
    panel.get_by_role("button", name="The child needs comfort.").click()
    expect(tablet.head).to_have_text("Paused")
    tablet.wait(60_000)

    tablet.next.click()

    expect(tablet.page.locator(".g-time-words")).to_contain_text("10 of 60 s")
    assert tablet.state()["pauses"][0]["why"] == "The child needs comfort."


def test_a_changed_chart_is_read_before_the_scrub(
    tablet: Tablet, server: Server
) -> None:
    what = "A sensitivity to chlorhexidine was charted at 10:12."
    tablet.begin()
    server["facts"] = {
        "mark": "m2",
        "changed": [{"what": what, "at": "", "plan_differs": True}],
        "sent": False,
    }
    tablet.go_to("Sterile gloves on")

    warned = tablet.page.locator(".g-warn")
    expect(warned).to_contain_text(what)
    expect(warned).to_contain_text("the plan would now be another")
    tablet.wait(PAST_BOUNCE_MS)
    tablet.press(tablet.next)
    expect(tablet.head).to_have_text("Step 5 of 9")

    tablet.page.get_by_role("button", name="Both have read it").click()
    expect(warned).to_have_count(0)
    tablet.step()
    assert tablet.state()["acknowledged"] == "m2"
    assert what in tablet.state()["remarks"][0]


def test_without_a_network_it_says_when_the_chart_was_last_seen(
    tablet: Tablet, server: Server
) -> None:
    server["facts"] = None
    tablet.begin().go_to("Sterile gloves on")

    told = tablet.page.locator(".g-facts")
    expect(told).to_contain_text("No network: the chart was last seen at")
    tablet.step()


def test_a_wall_clock_that_jumps_moves_no_timer(tablet: Tablet) -> None:
    tablet.begin().go_to("Scrub")
    tablet.wait(7000)
    tablet.page.evaluate(
        "() => { const told = Date.now; Date.now = () => told() + 3_600_000; }"
    )
    tablet.wait(1000)

    expect(tablet.page.locator(".g-time-words")).to_contain_text("8 of 60 s")
    expect(tablet.page.locator("h1")).to_have_text("Step 6 of 9")
    tablet.go_to_the_end()
    expect(tablet.page.locator(".g-happened")).to_contain_text("clock jumped by 1 h")
    assert tablet.state()["jumps"][0]["seconds"] == pytest.approx(3600, abs=2)


AGENT = {
    "field": "agent",
    "label": "Antiseptic used",
    "type": "choice",
    "required": True,
    "always_known": True,
    "choices": [
        {"value": "chlorhexidine-alcohol", "label": "Chlorhexidine"},
        {"value": "povidone-iodine", "label": "Povidone-iodine"},
    ],
    "value": "chlorhexidine-alcohol",
    "previous": None,
    "from": None,
}
TURN = {
    "field": "site",
    "value": "red",
    "label": "Red",
    "says": "Gauze. No chlorhexidine.",
}


def test_what_is_found_at_the_bare_site_and_turns_the_plan_is_said_at_once(
    tablet: Tablet, server: Server
) -> None:
    """Also without a network: what each word would change lies on the tablet."""
    server["facts"] = None
    entry = bundle()["entry"]["fields"]
    tablet.keep(bundle(turns=[TURN], entry={"fields": [*entry, AGENT]}))
    tablet.open().begin().go_to("Look at the site")
    page, warning = tablet.page, tablet.page.locator(".g-turned")
    expect(warning).to_have_count(0)

    page.locator("[data-field=site] .pill").last.click()
    expect(warning).to_contain_text("Red. The plan is now: Gauze. No chlorhexidine.")
    expect(page.locator("#band")).to_contain_text("What was found changes the plan")
    tablet.wait(PAST_BOUNCE_MS)
    tablet.press(tablet.next)
    expect(tablet.does).to_contain_text("Look at the site")
    page.locator("[data-field=site] .pill").first.click()
    expect(warning).to_have_count(0)
    page.locator("[data-field=site] .pill").last.click()
    page.get_by_role("button", name="Both have read it: go on").click()
    expect(warning).to_have_count(0)
    tablet.wait(PAST_BOUNCE_MS)
    tablet.next.click()
    expect(tablet.does).to_contain_text("gloves on")
    tablet.go_to("Scrub")

    expect(warning).to_contain_text("Gauze. No chlorhexidine.")
    assert tablet.state()["remarks"] == [
        "Found, read and gone on: Red. The plan would now be: Gauze. No chlorhexidine."
    ]
    tablet.go_to_the_end()
    expect(page.locator(".g-ahead")).to_contain_text("Antiseptic used")
    used = page.locator("[data-field=agent]")
    expect(used.get_by_role("button", name="Not known")).to_have_count(0)
    used.locator(".pill").last.click()
    assert tablet.state()["values"]["agent"] == "povidone-iodine"


@pytest.mark.parametrize("key", ["ArrowRight", " "])
def test_a_pedal_goes_on_and_leaves_what_a_finger_chose(
    tablet: Tablet, key: str
) -> None:
    """A pedal that sends an arrow must not move the choice that was just called out."""
    tablet.begin().go_to("Look")
    choices = tablet.page.locator("[data-field=site] .pill")
    choices.last.click()
    chosen = tablet.state()["values"]["site"]
    tablet.wait(PAST_BOUNCE_MS)

    tablet.page.keyboard.press(key)

    expect(tablet.does).not_to_contain_text("Look at the site")
    assert tablet.state()["values"]["site"] == chosen


def test_a_whole_change_with_the_keyboard_alone(tablet: Tablet) -> None:
    page = tablet.page

    def press(key: str) -> None:
        tablet.wait(PAST_BOUNCE_MS)
        page.keyboard.press(key)

    for _ in range(2):
        page.keyboard.press("Tab")  # past "More", to the first thing that lies ready
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    tablet.head.focus()
    press("PageDown")
    expect(tablet.head).to_have_text("Step 1 of 9")
    press("Space")
    expect(tablet.does).to_contain_text("Measure")
    press("Space")  # held: the focus goes to what is asked
    expect(page.get_by_label("External length", exact=True)).to_be_focused()
    page.keyboard.type("42")
    press("PageDown")
    expect(tablet.does).to_contain_text("Peel")
    press("ArrowRight")
    expect(tablet.does).to_contain_text("Look")
    press("ArrowLeft")
    expect(tablet.does).to_contain_text("Peel")
    press("ArrowRight")
    expect(tablet.does).to_contain_text("Look")
    press("Space")
    expect(page.locator("[data-field=site] input").first).to_be_focused()
    page.keyboard.press("Space")
    press("PageDown")
    expect(tablet.does).to_contain_text("gloves on")
    expect(page.locator(".g-facts")).to_contain_text("nothing new")
    press("PageDown")
    expect(tablet.does).to_contain_text("Scrub")

    page.keyboard.press("s")
    expect(page.get_by_label("First letters")).to_be_focused()
    page.keyboard.type("swab")
    page.keyboard.press("Enter")
    expect(page.locator(".g-way")).to_be_visible()
    press("PageDown")
    expect(tablet.head).to_contain_text("Way back: 1 of 5")
    for act in ("Gloves off", "Clean the hands", "New sterile", "Scrub"):
        tablet.wait(61_000)
        page.keyboard.press("PageDown")
        expect(tablet.does).to_contain_text(act)
    tablet.wait(61_000)
    page.keyboard.press("PageDown")
    expect(tablet.does).to_contain_text("Wait")
    tablet.wait(31_000)
    page.keyboard.press("1")
    expect(tablet.does).to_contain_text("Film on")
    press("PageDown")
    expect(tablet.does).to_contain_text("Label")
    press("PageDown")
    expect(page.locator(".g-review")).to_be_visible()


def test_a_step_tells_screen_readers_where_it_is(tablet: Tablet) -> None:
    tablet.begin()
    expect(tablet.head).to_be_focused()

    tablet.step()

    expect(tablet.head).to_be_focused()
    expect(tablet.page.locator("#live")).to_have_text(
        "Step 2 of 9 Operator: Measure, and call it out."
    )


def test_a_pedal_that_bounces_passes_one_step(tablet: Tablet) -> None:
    tablet.begin()
    tablet.wait(PAST_BOUNCE_MS)

    for _ in range(3):
        tablet.page.keyboard.press("PageDown")

    expect(tablet.head).to_have_text("Step 2 of 9")


@pytest.mark.parametrize("button", ["#next", "#look-yes"])
def test_two_presses_before_the_disk_has_answered_pass_one_step(
    tablet: Tablet, button: str
) -> None:
    """A slow tablet draws late: the second press meets the screen of the first."""
    tablet.begin().go_to("Wait" if button == "#look-yes" else "Measure")
    tablet.fill_in()
    tablet.wait(40_000)
    expect(tablet.next).to_contain_text("Next")
    tablet.wait(PAST_BOUNCE_MS)
    here = int((tablet.head.text_content() or "").split()[1])

    tablet.page.evaluate(
        "(css) => { const it = document.querySelector(css); it.click(); it.click(); }",
        button,
    )

    expect(tablet.head).to_contain_text(f"Step {here + 1} of")
    passed = len(tablet.events("next"))
    tablet.wait(PAST_BOUNCE_MS)
    expect(tablet.head).to_contain_text(f"Step {here + 1} of")
    assert len(tablet.events("next")) == passed


def test_what_was_typed_and_passed_survives_a_reload(tablet: Tablet) -> None:
    tablet.begin().go_to("Measure")
    tablet.page.get_by_label("External length", exact=True).fill("4")

    tablet.page.reload()

    expect(tablet.head).to_have_text("The guide is back where it was")
    tablet.next.click()
    expect(tablet.page.get_by_label("External length", exact=True)).to_have_value("4")


def test_a_stroke_on_its_way_to_the_disk_is_not_lost(tablet: Tablet) -> None:
    tablet.begin().go_to("Measure")
    # A disk so slow that the page is left before it has written anything.
    tablet.page.evaluate(
        """() => {
            const never = { objectStore: () => ({ add() {}, put() {} }) };
            IDBDatabase.prototype.transaction = () => never;
        }"""
    )
    tablet.page.get_by_label("External length", exact=True).fill("7")

    tablet.page.reload()

    expect(tablet.head).to_have_text("The guide is back where it was")
    tablet.next.click()
    expect(tablet.page.get_by_label("External length", exact=True)).to_have_value("7")
    assert len(tablet.events("value")) == 1
    assert (
        tablet.page.evaluate(
            "Object.keys(localStorage).filter((key) => key.includes('pending'))"
        )
        == []
    )


def test_a_long_look_at_what_lies_ready_is_no_silence(tablet: Tablet) -> None:
    tablet.wait(600_000)

    tablet.begin().step()

    expect(tablet.head).to_have_text("Step 2 of 9")
    assert tablet.events("off") == []


def test_what_cannot_be_kept_is_said_and_goes_no_further(tablet: Tablet) -> None:
    tablet.begin()
    page = tablet.page
    page.evaluate(
        """() => {
            window.whole = IDBObjectStore.prototype.add;
            IDBObjectStore.prototype.add = () => { throw new DOMException("full", "QuotaExceededError"); };
        }"""
    )
    tablet.wait(PAST_BOUNCE_MS)
    tablet.next.click()

    panel = page.get_by_role("dialog")
    expect(panel).to_contain_text("could not keep this")
    expect(tablet.head).to_have_text("Step 1 of 9")
    page.evaluate("() => { IDBObjectStore.prototype.add = window.whole; }")
    page.keyboard.press("Escape")
    tablet.step()
    expect(tablet.head).to_have_text("Step 2 of 9")


def test_an_open_guide_is_left_alone_in_a_second_window(tablet: Tablet) -> None:
    tablet.begin()
    other = tablet.page.context.new_page()
    other.goto(f"{tablet.address}/guide/#{RUN}")

    expect(other.locator("#content")).to_contain_text("open in another window")
    other.goto(f"{tablet.address}/guide/")
    expect(other.locator(".g-kept-row")).to_contain_text("at step 1 of 9")


def test_giving_up_before_anything_was_done_tells_the_server_why(
    tablet: Tablet, server: Server
) -> None:
    # The chart's answer draws the screen anew, which closes a question that is open.
    tablet.until_kept("events", "(event) => event.type === 'facts'")
    tablet.page.get_by_role("button", name="Not now").click()
    tablet.page.get_by_role("button", name="Prepared by mistake.").click()

    expect(tablet.page.locator("#sending")).to_contain_text("nothing was done")
    assert tablet.kept("runs") == []


def test_practice_throws_a_slip_in_and_charts_nothing(
    tablet: Tablet, server: Server
) -> None:
    practice = {"seed": 2, "slips": [{"step": "scrub", "slip": "touched"}]}
    tablet.keep(bundle("practice-1", practice=practice))
    tablet.open("practice-1")
    expect(tablet.page.locator("#for")).to_contain_text("nothing is charted")
    tablet.begin().go_to("Scrub")
    tablet.wait(2000)

    panel = tablet.page.get_by_role("dialog")
    expect(panel).to_contain_text("A sterile glove touches the bed.")
    expect(panel).to_contain_text("What now?")
    panel.get_by_role("button", name="Nothing: go on as planned.").click()
    expect(tablet.page.locator(".g-pick")).to_contain_text("Not quite")
    tablet.wait(PAST_BOUNCE_MS)
    tablet.go_back()
    tablet.go_to_the_end()
    expect(tablet.head).to_have_text("End of the practice")

    told = tablet.page.locator(".g-happened")
    expect(told).to_contain_text("1 slip thrown in: 1 met, 0 answered rightly at once")
    expect(told).to_contain_text("No time was cut short")
    assert server["sent"] == []
    tablet.page.get_by_role("button", name="All guides").click()
    expect(tablet.head).to_have_text("Guides on this tablet")
    assert [one["run"] for one in tablet.kept("runs")] == [RUN]


def test_an_account_faulty_or_overtaken_comes_back_and_is_sent_when_mended(
    tablet: Tablet, server: Server
) -> None:
    fault = {"code": "x", "what": "It was 42 mm a week ago.", "where": "length"}
    changed = {"what": "A new order was charted.", "at": "", "plan_differs": False}
    server["account"] = [
        {"http": 401, "status": "sign-in"},
        {"http": 422, "status": "faulty", "faults": [{**fault, "mend": "Look again."}]},
        {"http": 409, "status": "facts-changed", "changed": [changed], "mark": "m9"},
        RECEIPT,
    ]
    page = tablet.page
    tablet.begin().go_to_the_end()
    tablet.send()

    expect(page.locator("#sending")).to_contain_text("Sign in to send it")
    expect(page.get_by_role("link", name="Sign in")).to_have_attribute(
        "href", re.compile("next=%2Fguide%2F%23")
    )
    page.get_by_role("button", name="Try now").click()

    expect(page.locator(".is-wrong")).to_contain_text("It was 42 mm a week ago.")
    length = page.get_by_label("External length", exact=True)
    expect(length).to_have_value("42")
    length.fill("44")
    tablet.send()

    expect(page.locator(".g-warn")).to_contain_text("A new order was charted.")
    expect(page.locator("#send")).to_have_attribute("aria-disabled", "true")
    page.get_by_role("button", name="Both have read it").click()
    page.locator("#send").click()

    expect(page.locator("#sending")).to_contain_text("on the chart")
    assert server["sent"][-1]["acknowledged_mark"] == "m9"
    assert server["sent"][-1]["values"]["length"] == 44


def test_what_could_not_be_sent_for_an_hour_is_sent_then(
    tablet: Tablet, server: Server
) -> None:
    server["account"] = None
    tablet.begin().go_to_the_end()
    tablet.send()
    expect(tablet.page.locator("#sending")).to_contain_text("No network")

    tablet.page.reload()
    expect(tablet.page.locator("#sending")).to_contain_text("Kept on this tablet")
    tablet.wait(3_600_000)
    server["account"] = RECEIPT
    tablet.page.evaluate("() => { dispatchEvent(new Event('online')); }")

    expect(tablet.page.locator("#sending")).to_contain_text("on the chart")
    accounts = {
        json.dumps({**one, "sent_at": ""}, sort_keys=True) for one in server["sent"]
    }
    assert len(accounts) == 1


HELD = [{"says": "Moved 25 mm out.", "until": "the tip has been checked"}]


def test_every_screen_says_whose_line_it_is_and_what_counts(tablet: Tablet) -> None:
    who, band = tablet.page.locator("#for"), tablet.page.locator("#band")

    for _ in range(2):
        expect(who).to_contain_text("Demo Birch")
        expect(who).to_contain_text("Born 14 March 2024")
        expect(who).not_to_contain_text("09")
        for says in ("Bed 09", "Chlorhexidine", "Clear film", "Adhesive", "42 mm"):
            expect(band).to_contain_text(says)
        tablet.begin() if tablet.state()["phase"] == "ready" else tablet.step()


def test_two_children_under_one_bed_number_are_said(tablet: Tablet) -> None:
    shared = bundle()
    shared["line"]["shares_bed"] = True
    tablet.keep(shared)
    tablet.open()

    expect(tablet.page.locator("#band")).to_contain_text("Another child has this bed")


def test_the_scrub_names_agent_swabs_seconds_area_and_cautions(tablet: Tablet) -> None:
    plan = tablet.page.locator(".g-from-plan")
    tablet.begin()
    expect(plan).to_contain_text("1 year")
    expect(plan.locator("b", has_text="Not known")).to_be_visible()

    tablet.go_to("Scrub")

    for says in (
        "Chlorhexidine",
        "3 swabs, 20 s each, 1 min together",
        "5.1 to 7.6 cm across",
        "Ask for sensitivities again.",
    ):
        expect(plan).to_contain_text(says)
    tablet.step()
    expect(plan).to_contain_text("At least 30 s. Shiny skin is still wet.")


def test_a_line_not_to_be_used_is_begun_only_by_one_who_knows(tablet: Tablet) -> None:
    tablet.keep(bundle(do_not_use=HELD))
    tablet.open()
    tablet.page.get_by_role("button", name="All of it lies ready").click()
    tablet.next.click()
    panel = tablet.page.get_by_role("dialog")
    expect(panel).to_contain_text("Not until the tip has been checked.")
    tablet.page.keyboard.press("Escape")
    expect(tablet.page.get_by_role("heading", name="Does all this lie")).to_be_visible()

    tablet.next.click()
    panel.get_by_role("button", name="The prescriber knows").click()

    expect(tablet.head).to_contain_text("Step 1 of")
    expect(tablet.page.locator("#band")).to_contain_text("Do not use the line")
    assert tablet.state()["hold_known"]["why"].startswith("The prescriber knows")


def test_the_step_that_opens_the_line_says_not_to_use_it_and_waits(
    tablet: Tablet, server: Server
) -> None:
    """Charted after the guide was opened: the chart tells at the look before."""
    opening = bundle()
    opening["steps"][5] |= {"opens_line": True, "shows": None}
    tablet.keep(opening)
    tablet.open()
    tablet.begin()
    server["facts"] = {
        "mark": "m2", "changed": [], "sent": False, "do_not_use": HELD,
    }  # fmt: skip
    tablet.go_to("Scrub")

    expect(tablet.page.locator(".g-held-box")).to_contain_text("Moved 25 mm out.")
    tablet.wait(61_000)
    expect(tablet.next).to_contain_text("say that you know")
    tablet.press(tablet.next)
    tablet.page.get_by_role("button", name="This is done to mend it.").click()
    expect(tablet.page.locator(".g-held-box")).to_contain_text("Known, and gone on")
    tablet.wait(PAST_BOUNCE_MS)
    tablet.next.click()

    expect(tablet.does).to_contain_text("Wait")
