"""A tablet with the guide on it, driven as two people at the bedside would."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from playwright.sync_api import Page, expect
from tests.fakes.guide_bundle import RUN, bundle

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Locator

STORE = "/static/lumenkeep/guide/store.js"
# Both clocks of the page stand still and are moved together by hand, also over a reload:
# what a busy machine takes for a step counts for nothing. A long silence of the guide's
# own beat would count as off, so each time moved brings a beat.
CLOCK = """(() => {
    let skew = Number(sessionStorage.getItem("skew") ?? 0);
    const steady = performance.now();
    const wall = Date.now();
    performance.now = () => steady + skew;
    Date.now = () => wall + skew;
    window.letPass = (ms) => {
        skew += ms;
        sessionStorage.setItem("skew", skew);
        dispatchEvent(new Event("pagehide"));
    };
})()"""
# Goes on as two people would, in the page itself: a step costs no round trip.
WALK = """async ({ how, words, number }) => {
    const find = (css) => document.querySelector(css);
    const soon = () => new Promise((done) => setTimeout(done, 10));
    const head = () => find("#step-head")?.textContent;
    function fill() {
        for (const box of document.querySelectorAll("[data-field]")) {
            if (box.querySelector("input:checked")) continue;
            const pill = box.querySelector(".pill input");
            const typed = box.querySelector("input, textarea");
            if (pill) pill.click();
            else if (!typed.value) {
                typed.value = typed.tagName === "INPUT" ? number : "Clean.";
                typed.dispatchEvent(new Event("input", { bubbles: true }));
            }
        }
    }
    async function step() {
        const here = head();
        fill();
        window.letPass?.(300);
        for (let i = 0; find(".g-time:not(.is-over)") && i < 99; i += 1) {
            letPass(20000);
            await soon();
        }
        for (let i = 0; i < 9000; i += 1) {
            // A length that is asked back may ask for a second measurement too.
            if (i % 30 === 0) fill();
            if (i % 30 === 0) (find("#length-sure") ?? find("#look-yes") ?? find("#next"))?.click();
            await soon();
            if (head() !== here) return null;
        }
        return `held at ${here}: ${find("#next")?.textContent}`;
    }
    const isThere = () => ({
        fill: () => (fill(), true),
        to: () => !find(".g-step") || [...document.querySelectorAll(".is-doing .g-say")].some((one) => one.textContent.includes(words)),
        way: () => !find(".is-way-back"),
        step: () => false,
    })[how]();
    while (!isThere()) {
        const wrong = await step();
        if (wrong || how === "step") return wrong;
    }
    return null;
}"""
RUN_THROUGH = f"""async () => {{
    const store = await import("{STORE}");
    const run = location.hash.slice(1);
    const {{ bundle }} = await store.one("runs", run);
    let t = 0;
    const add = (type, more) => store.append({{ run, at: new Date(Date.now() + t).toISOString(), t, type, ...more }});
    await add("begun");
    for (const step of bundle.steps) {{
        t += 1000 * (step.seconds ?? 1);
        if (step.look) await add("look", {{ answer: "yes" }});
        await add("next");
    }}
}}"""
# Above the time for which a second press counts as a bounce.
PAST_BOUNCE_MS = 300


@dataclass
class Tablet:
    """One page of the guide.

    Parameters
    ----------
    number
        What is called out where a number is asked for.
    """

    page: Page
    address: str
    number: str = "42"

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

    def until_kept(self, name: str, test: str) -> None:
        """Wait until something in a store of the tablet passes a test in JavaScript."""
        self.page.wait_for_function(
            f"""async (name) => {{
                const store = await import("{STORE}");
                return (await store.all(name)).some({test});
            }}""",
            arg=name,
        )

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
        """Move the time of a page opened by `with_clock`."""
        self.page.evaluate("(ms) => { letPass(ms); }", ms)

    def let_time_run(self) -> None:
        """Let time run on, fast: what the guide does again after a while, it does soon."""
        self.page.evaluate("() => { setInterval(() => letPass(1000), 50); }")

    def fill_in(self) -> None:
        """Give each open field something: numbers, or the first choice."""
        self._walk("fill")

    def step(self) -> None:
        """Do what the screen asks for and go on."""
        self._walk("step")

    def go_to(self, words: str) -> Tablet:
        """Go on until this is what somebody does."""
        self._walk("to", words)
        expect(self.does.first).to_contain_text(words)
        return self

    def go_to_the_end(self) -> Tablet:
        self._walk("to", "no such words")
        expect(self.page.locator(".g-review, .g-rest")).to_be_visible()
        return self

    def _walk(self, how: str, words: str = "") -> None:
        given = {"how": how, "words": words, "number": self.number}
        told = self.page.evaluate(WALK, given)
        assert told is None, told

    def run_through(self) -> None:
        """Put a whole change into the log at once, and open its review."""
        self.page.evaluate(RUN_THROUGH)
        self.page.reload()
        expect(self.page.locator(".g-review")).to_be_visible()

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
        self._walk("way")

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
        # A server that answers at once may have brought it back already.
        sent = self.page.locator("#sending, .g-warn").first
        expect(sent).to_be_visible()


def with_clock(context: BrowserContext, address: str) -> Tablet:
    """Open a page whose clocks stand still until they are moved by hand."""
    page = context.new_page()
    page.add_init_script(CLOCK)
    return Tablet(page, address)
