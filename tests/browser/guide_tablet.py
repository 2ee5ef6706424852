"""A tablet with the guide on it, driven as two people at the bedside would."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from playwright.sync_api import Page, expect
from tests.fakes.guide_bundle import RUN, bundle

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Locator

STORE = "/static/lumenkeep/guide/store.js"
# Above the time for which a second press counts as a bounce.
PAST_BOUNCE_MS = 300


@dataclass
class Tablet:
    """One page of the guide.

    Parameters
    ----------
    has_fake_clock
        Whether time is moved by hand; then timed steps pass at once.
    """

    page: Page
    address: str
    has_fake_clock: bool = True

    # ------------------------------------------------------------- opening

    def keep(self, kept: dict[str, Any] | None = None) -> None:
        """Put a bundle on the tablet, as the page that prepares it does."""
        self.page.goto(f"{self.address}/guide/")
        expect(self.page.locator("#step-head")).to_be_visible()
        self.page.evaluate(
            f"""async (bundle) => {{
                const store = await import("{STORE}");
                await store.keep("runs", {{ run: bundle.run, bundle, kept_at: "" }});
            }}""",
            kept or bundle(),
        )

    def open(self, run: str = RUN) -> Tablet:
        self.page.goto(f"{self.address}/guide/#{run}")
        expect(self.page.locator("#for")).not_to_have_text("Guide")
        return self

    def begin(self) -> Tablet:
        self.page.get_by_role("button", name="All of it lies ready").click()
        self.next.click()
        expect(self.head).to_contain_text("Step 1 of")
        return self

    # ------------------------------------------------------------- what is shown

    @property
    def head(self) -> Locator:
        return self.page.locator("#step-head")

    @property
    def next(self) -> Locator:
        return self.page.locator("#next")

    @property
    def does(self) -> Locator:
        """What is to be done now, large."""
        return self.page.locator(".is-doing .g-say")

    def kept(self, name: str) -> list[Any]:
        """Return all that lies in a store of the tablet."""
        found = self.page.evaluate(
            f"""async (name) => (await import("{STORE}")).all(name)""", name
        )
        return list(found)

    def events(self, kind: str) -> list[dict[str, Any]]:
        return [event for event in self.kept("events") if event["type"] == kind]

    def state(self, run: str = RUN) -> dict[str, Any]:
        """Return what the log comes to."""
        return dict(
            self.page.evaluate(
                f"""async (run) => {{
                const store = await import("{STORE}");
                const {{ fold }} = await import("/static/lumenkeep/guide/fold.js");
                const kept = await store.one("runs", run);
                return fold(kept.bundle, await store.eventsOf(run));
            }}""",
                run,
            )
        )

    # ------------------------------------------------------------- going on

    def press(self, control: Locator) -> None:
        """Press a control even while it says that it holds, as a finger can."""
        control.click(force=True)

    def wait(self, ms: int) -> None:
        """Let time pass, by hand or in truth."""
        if self.has_fake_clock:
            self.page.clock.fast_forward(ms)
            # Time moved by hand brings no beat with it; a long silence would count as off.
            self.page.evaluate("() => { dispatchEvent(new Event('pagehide')); }")
        else:
            self.page.wait_for_timeout(ms)

    def fill_in(self) -> None:
        """Give each field something; numbers 42, choices the first."""
        for box in self.page.locator("[data-field]").all():
            if box.locator("input:checked").count():
                continue
            if box.locator(".pill").count():
                box.locator(".pill").first.click()
            elif not (control := box.locator("input, textarea").first).input_value():
                control.fill("42" if box.locator(".g-number").count() else "Clean.")

    def step(self) -> None:
        """Do what the screen asks for and go on."""
        here = self.head.inner_text()
        self.fill_in()
        if self.page.locator(".g-time").count():
            self.wait(61_000)
        self.wait(PAST_BOUNCE_MS)
        if self.page.locator("#look-yes").count():
            self.page.locator("#look-yes").click()
        else:
            expect(self.next).to_have_attribute("aria-disabled", "false")
            self.next.click()
        expect(self.head).not_to_have_text(here)

    def go_to(self, words: str) -> Tablet:
        """Go on until this is what somebody does."""
        while words not in " ".join(self.does.all_inner_texts()):
            self.step()
        return self

    def go_to_the_end(self) -> Tablet:
        while not self.page.locator(".g-review").count():
            self.step()
        return self

    def slip(self, words: str) -> None:
        """Say a slip, by its first letters."""
        self.page.locator("#slip").click()
        self.page.get_by_label("First letters").fill(words)
        self.page.locator(".g-slip-row").first.click()
        expect(self.page.locator(".g-way")).to_be_visible()
        self.wait(PAST_BOUNCE_MS)

    def go_back(self) -> None:
        """Begin the way back that is shown, and go it to its end."""
        self.next.click()
        expect(self.page.locator(".is-way-back")).to_be_visible()
        while self.page.locator(".is-way-back").count():
            self.step()

    def confirm(self) -> None:
        """Fill in what is missing; both confirm."""
        self.fill_in()
        for role in ("operator", "assistant"):
            button = self.page.locator(f"#confirm-{role}")
            expect(button).to_have_attribute("aria-disabled", "false")
            button.click()
            expect(self.page.locator(f"#confirmed-{role}")).to_be_visible()

    def send(self) -> None:
        self.confirm()
        self.page.locator("#send").click()
        expect(self.page.locator("#sending")).to_be_visible()


def with_clock(context: BrowserContext, address: str) -> Tablet:
    """Open a page whose clock is moved by hand."""
    page = context.new_page()
    page.clock.install()
    return Tablet(page, address)
