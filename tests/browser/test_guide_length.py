"""A length is judged where it is typed, without a network, and never lost."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect
from tests.browser.guide_tablet import PAST_BOUNCE_MS, Tablet, with_clock
from tests.fakes.guide_bundle import CARD, bundle

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser


def with_card() -> dict[str, Any]:
    made = bundle()
    for fields in (made["steps"][1]["charted"], made["entry"]["fields"]):
        fields[0] = {**fields[0], "card": CARD}
    return made


@contextmanager
def opened(browser: Browser, demo: str) -> Iterator[Tablet]:
    """Open the guide of a made-up change without a network; no script may complain."""
    context = browser.new_context(service_workers="block")
    found = with_clock(context, demo)
    complaints: list[str] = []
    found.page.on("pageerror", lambda error: complaints.append(str(error)))
    found.keep(with_card())
    found.open()
    context.route("**/guide/runs/**", lambda route: route.abort())
    yield found
    context.close()
    assert not complaints


@pytest.fixture
def tablet(browser: Browser, demo: str) -> Iterator[Tablet]:
    """A tablet at the step at which the length is called out; no network."""
    with opened(browser, demo) as found:
        found.begin().go_to("Measure")
        found.wait(PAST_BOUNCE_MS)
        yield found


def typed(tablet: Tablet, mm: str) -> None:
    tablet.page.get_by_role("textbox", name="External length").fill(mm)
    tablet.press(tablet.next)


def test_an_impossible_length_holds_the_step_and_stays_in_its_field(
    tablet: Tablet,
) -> None:
    typed(tablet, "1650")

    expect(tablet.next).to_contain_text("that cannot be")
    expect(tablet.does.first).to_contain_text("Measure")
    expect(tablet.page.get_by_role("textbox", name="External length")).to_have_value(
        "1650"
    )
    assert tablet.state()["values"]["length"] == "1650"


def test_an_unlikely_length_is_asked_back_once(tablet: Tablet) -> None:
    typed(tablet, "185")
    box = tablet.page.locator("#length-length")
    expect(box).to_contain_text("11 mm last time. 185?")
    expect(tablet.does.first).to_contain_text("Measure")

    box.get_by_role("button", name="It is 185 mm").click()

    expect(box).to_contain_text("Moved 174 mm out.")
    expect(box).to_contain_text("Do not use the line until the tip is checked.")
    tablet.wait(PAST_BOUNCE_MS)
    tablet.next.click()
    expect(tablet.does.first).to_contain_text("Peel")
    assert tablet.state()["values"]["length"] == "185"


@pytest.mark.parametrize(("mm", "meant"), [("1.2", "12"), ("110", "11"), ("122", "12")])
def test_another_unit_or_a_doubled_digit_is_offered(
    tablet: Tablet, mm: str, meant: str
) -> None:
    typed(tablet, mm)
    box = tablet.page.locator("#length-length")
    expect(box).to_contain_text(f"Do you mean {meant} mm?")

    box.get_by_role("button", name=f"{meant} mm was meant").click()

    expect(tablet.page.get_by_role("textbox", name="External length")).to_have_value(
        meant
    )
    expect(box).to_be_empty()


def test_a_line_that_has_moved_is_said_at_once_with_what_to_do(tablet: Tablet) -> None:
    tablet.page.get_by_role("textbox", name="External length").fill("24")
    tablet.page.get_by_role("textbox", name="External length").blur()

    box = tablet.page.locator("#length-length")
    expect(box).to_contain_text("Moved 13 mm out. Do not use the line")
    tablet.next.click()
    expect(tablet.does.first).to_contain_text("Peel")


def test_a_doubtful_length_asks_another_person_to_measure_again(
    tablet: Tablet,
) -> None:
    typed(tablet, "19")
    box = tablet.page.locator("#length-length")
    second = tablet.page.get_by_role("textbox", name="Second measurement")
    expect(box).to_contain_text("8 mm out: more than error usually makes. Let another")
    expect(second).to_be_visible()
    tablet.press(tablet.next)
    expect(tablet.next).to_contain_text("1 thing to chart")

    second.fill("12")
    second.blur()
    expect(box).to_contain_text("does not show it")
    tablet.wait(PAST_BOUNCE_MS)
    tablet.next.click()

    expect(tablet.does.first).to_contain_text("Peel")
    assert tablet.state()["values"] == {"length": "19", "length-again": "12"}


def test_two_that_agree_say_that_the_line_has_moved(tablet: Tablet) -> None:
    typed(tablet, "19")

    second = tablet.page.get_by_role("textbox", name="Second measurement")
    second.fill("18")
    second.blur()

    expect(tablet.page.locator("#length-length")).to_contain_text("Moved 7 mm out.")


def test_a_length_as_last_time_asks_nothing(tablet: Tablet) -> None:
    tablet.page.get_by_role("textbox", name="External length").fill("12")
    expect(tablet.page.locator("#length-length")).to_be_empty()
    tablet.next.click()

    expect(tablet.does.first).to_contain_text("Peel")


@pytest.fixture
def review(browser: Browser, demo: str) -> Iterator[Tablet]:
    """A tablet at the reading of the entry, the length not called out; no network."""
    with opened(browser, demo) as found:
        found.run_through()
        yield found


def read_out(tablet: Tablet, mm: str) -> None:
    length = tablet.page.get_by_role("textbox", name="External length")
    length.fill(mm)
    length.blur()


def test_a_length_first_said_at_the_reading_asks_for_a_second_measurement(
    review: Tablet,
) -> None:
    page = review.page
    box = page.locator("#length-length")
    second = page.get_by_role("textbox", name="Second measurement")
    expect(second).to_have_count(0)

    read_out(review, "19")
    expect(box).to_contain_text("8 mm out: more than error usually makes. Let another")
    expect(second).to_be_visible()
    expect(page.locator(".g-foot")).to_contain_text("Second measurement")

    second.fill("18")
    second.blur()
    expect(box).to_contain_text("Moved 7 mm out.")
    expect(page.locator(".g-foot")).not_to_contain_text("Second measurement")
    assert review.state()["values"] == {"length": "19", "length-again": "18"}


def test_an_unlikely_length_is_asked_back_at_the_reading_too(review: Tablet) -> None:
    box = review.page.locator("#length-length")
    read_out(review, "185")
    expect(box).to_contain_text("11 mm last time. 185?")

    box.get_by_role("button", name="It is 185 mm").click()
    expect(box).to_contain_text("Moved 174 mm out.")


def test_a_length_put_right_at_the_reading_needs_no_second_measurement(
    review: Tablet,
) -> None:
    second = review.page.get_by_role("textbox", name="Second measurement")
    read_out(review, "19")
    expect(second).to_be_visible()

    read_out(review, "12")
    expect(second).to_have_count(0)
    expect(review.page.locator("#length-length")).to_be_empty()
