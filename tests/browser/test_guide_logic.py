"""What the guide makes of its log: the modules that know no screen, no disk, no clock."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect
from tests.fakes.guide_bundle import bundle, way

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from playwright.sync_api import Browser

Run = "Callable[..., Any]"
MODULES = ("account", "clock", "fold", "commands", "holds", "practice", "send")
MODULES += ("span", "values", "ways", "words")
RECEIPT = """const sent = { run: "r-1", path: "account", digest: "d1" };
    const receipt = { status: "written", run: "r-1", acknowledges: "d1",
        entries: [7], line_url: "/line/l-1/" }"""
PROLOGUE = """async (given) => {
    const names = %s;
    const m = {};
    for (const name of names) {
        Object.assign(m, await import(`/static/lumenkeep/guide/${name}.js`));
    }
    const { bundle, log } = given;
    let t = 0;
    const events = (log ?? []).map(([after, type, more]) => {
        t += after;
        const at = new Date(1e12 + t).toISOString();
        return { run: "r", at, t, type, ...more };
    });
    const state = m.fold(bundle, events);
    %s
}"""


@pytest.fixture(scope="module")
def evaluated(browser: Browser, demo: str) -> Iterator[Callable[..., Any]]:
    """Evaluate JavaScript with every module in ``m`` and a log folded to ``state``."""
    context = browser.new_context(service_workers="block")
    page = context.new_page()
    page.goto(f"{demo}/guide/")
    expect(page.locator("#step-head")).to_be_visible()

    def evaluate(code: str, log: list[Any] | None = None, **more: Any) -> Any:
        text = PROLOGUE % (list(MODULES), code)
        return page.evaluate(text, {"bundle": bundle(**more), "log": log})

    yield evaluate
    context.close()


def steps(count: int, each: int = 1000) -> list[Any]:
    """A log that has begun and gone on so many times."""
    return [[0, "begun", {}], *([[each, "next", {}]] * count)]


SCRUBBING = steps(5)
SLIPPED = [*SCRUBBING, [10_000, "slip", {"slip": "touched"}]]
GLOVES = ["say", "gloves-off", "hands", "gloves-on"]
BACK = {"kind": "way-back", "acts": GLOVES, "then": "dry", "needs": {"gloves": 1}}


def test_a_step_counts_its_own_seconds(evaluated: Any) -> None:
    done = evaluated("return state.done", steps(2, 2500))

    assert [(one["id"], one["seconds"]) for one in done] == [
        ("plan", 2.5),
        ("measure", 2.5),
    ]


def test_a_pause_gives_a_timed_step_nothing(evaluated: Any) -> None:
    log = [*SCRUBBING, [10_000, "pause", {"why": "Comfort."}]]
    log += [[60_000, "resume", {}]]

    left = evaluated("return m.leftMs(state.span, t + 5000)", log)

    assert left == 45_000


def test_time_while_the_tablet_was_off_is_not_counted(evaluated: Any) -> None:
    off = {"held_t": 15_000, "held_at": "2026-11-25T10:00:00Z", "ms": 600_000}
    log = [*SCRUBBING, [610_000, "off", off]]

    code = "return [m.passedMs(state.span, t + 9000), state.off.ms, state.pauses]"
    passed, ms, pauses = evaluated(code, log)
    went_on = evaluated(
        "return m.passedMs(state.span, t)",
        [*log, [5000, "go-on", {}], [3000, "jump", {"seconds": 5}]],
    )

    assert passed == 10_000
    assert ms == 600_000
    assert pauses[0]["why"] == "The tablet was off."
    assert went_on == 13_000


def test_bare_time_goes_on_through_pause_and_crash(evaluated: Any) -> None:
    log = [*steps(2), [0, "pause", {"why": "x"}], [60_000, "resume", {}]]

    assert evaluated("return m.bareMs(state, bundle, t + 5000)", log) == 65_000


def test_a_wall_clock_that_jumps_moves_nothing_and_is_told(evaluated: Any) -> None:
    log = [*SCRUBBING, [10_000, "jump", {"seconds": 3600}]]

    passed, jumps = evaluated("return [m.passedMs(state.span, t), state.jumps]", log)

    assert passed == 10_000
    assert jumps[0]["seconds"] == 3600


def test_the_clock_finds_jumps_and_silences(evaluated: Any) -> None:
    found = evaluated(
        """let steady = 0, wall = 1e12;
        const clock = new m.Clock(5000, { steady: () => steady, wall: () => wall });
        const pass = (ms, jump = 0) => { steady += ms; wall += ms + jump; return clock.beat(); };
        const beats = [pass(200), pass(200, 3600e3), pass(200), pass(61_000), pass(95_000), pass(200, -7200e3)];
        return [beats, clock.t()];"""
    )

    beats, t = found
    assert [beat["jump"] for beat in beats] == [0, 3600, 0, 0, 0, -7200]
    assert [beat["silent"] for beat in beats] == [0, 0, 0, 0, 95_000, 0]
    assert t == 5000 + 4 * 200 + 61_000 + 95_000


def test_the_dry_look_ends_only_by_clock_and_look(evaluated: Any) -> None:
    waiting = [*SCRUBBING, [60_000, "next", {}]]
    code = "return m.holds(state, bundle, t + %d).map((hold) => hold.kind)"
    wet = [*waiting, [31_000, "look", {"answer": "no"}]]

    assert evaluated(code % 29_000, waiting) == ["time", "look"]
    assert evaluated(code % 31_000, waiting) == ["look"]
    assert evaluated(code % 29_000, wet) == ["time", "look"]
    assert evaluated(code % 31_000, wet) == ["look"]
    dry = [*wet, [31_000, "look", {"answer": "yes"}]]
    assert evaluated(code % 0, dry) == []


def test_a_look_of_its_own_that_says_wet_goes_back_to_the_wait(evaluated: Any) -> None:
    made = bundle()
    dry = made["steps"][6]
    look = {**dry, "id": "look", "seconds": None, "timer": None}
    wait = {**dry, "look": None}
    log = [*SCRUBBING, [60_000, "next", {}], [30_000, "next", {}]]
    log += [[1000, "look", {"answer": "no"}]]

    at, left = evaluated(
        "return [bundle.steps[state.at].id, m.leftMs(state.span, t)]",
        log,
        steps=[*made["steps"][:6], wait, look, *made["steps"][7:]],
    )

    assert (at, left) == ("dry", 30_000)


def test_early_needs_a_reason_and_leaves_the_look(evaluated: Any) -> None:
    log = [*SCRUBBING, [60_000, "next", {}], [5000, "early", {"reason": "Danger."}]]
    code = "return [m.holds(state, bundle, t).map((hold) => hold.kind), %s]"

    holds, _ = evaluated(code % "0", log)
    _, done = evaluated(code % "state.done.at(-1).early", [*log, [0, "next", {}]])

    assert holds == ["look"]
    assert done == "Danger."


def test_a_way_back_leads_to_the_step_that_was_interrupted(evaluated: Any) -> None:
    log = [*SLIPPED, [500, "way", BACK], *([[1000, "next", {}]] * 4)]

    here, left, spares = evaluated(
        "return [bundle.steps[state.at].id, m.leftMs(state.span, t), state.left]", log
    )

    assert (here, left) == ("scrub", 60_000)
    assert spares == {"gloves": 0, "swab": 3}


FINISHED = [[500, "way", BACK], *([[1000, "next", {}]] * 4), [500, "was-finished", {}]]


def test_a_step_that_was_finished_before_the_slip_need_not_be_done_twice(
    evaluated: Any,
) -> None:
    slip = [[60_000, "slip", {"slip": "touched"}]]
    log = [*SCRUBBING, *slip, *FINISHED]

    here, account = evaluated(
        "return [bundle.steps[state.at].id, m.accountOf(bundle, state, 'tablet')]", log
    )

    assert here == "dry"
    assert account["remarks"] == (
        "Finished before the slip, and not repeated: Scrub back and forth."
    )
    assert [one["id"] for one in account["steps"]][-5:] == ["scrub", *GLOVES]


# The same slip amid the scrub: its swabs are lost, so fresh ones are opened as well.
AMID = ["say", "gloves-off", "hands", "gloves-on", "hands"]
TWO_STORIES = bundle()["ways"] | {
    "scrub": [
        way("touched", GLOVES, "dry", gloves=1)
        | {"unfinished": way("touched", AMID, "scrub", gloves=1, swab=3)}
    ]
}
FOLLOWED = "m.followed(m.rowFor(state, bundle, 'touched'), state.slip)"
WAY_AMID = {
    "kind": "way-back", "acts": AMID, "then": "scrub",
    "needs": {"gloves": 1, "swab": 3}, "is_unfinished": True,
}  # fmt: skip


@pytest.mark.parametrize(
    ("after_ms", "said", "acts"),
    [
        (10_000, [], AMID),
        # Something still held the step, so it cannot have been finished.
        (10_000, [[500, "step-was", {"finished": True}]], AMID),
        (60_000, [], AMID),
        (60_000, [[500, "step-was", {"finished": True}]], GLOVES),
        (
            60_000,
            [
                [500, "step-was", {"finished": True}],
                [500, "step-was", {"finished": False}],
            ],
            AMID,
        ),
    ],
)
def test_the_way_is_that_of_an_unfinished_step_unless_both_say_otherwise(
    evaluated: Any, after_ms: int, said: list[Any], acts: list[str]
) -> None:
    log = [*SCRUBBING, [after_ms, "slip", {"slip": "touched"}], *said]

    assert evaluated(f"return {FOLLOWED}.acts", log, ways=TWO_STORIES) == acts


def test_the_way_of_an_unfinished_step_leads_to_that_step(evaluated: Any) -> None:
    log = [*SLIPPED, [500, "way", WAY_AMID], *([[1000, "next", {}]] * 5)]

    here, may, spares = evaluated(
        "return [bundle.steps[state.at].id, m.mayBeFinished(state), state.left]",
        log,
        ways=TWO_STORIES,
    )

    assert (here, may) == ("scrub", False)
    assert spares == {"gloves": 0, "swab": 0}


def test_the_way_of_a_finished_step_leads_past_it_and_says_so(evaluated: Any) -> None:
    log = [*SCRUBBING, [60_000, "slip", {"slip": "touched"}]]
    log += [[500, "step-was", {"finished": True}], [500, "way", BACK]]
    log += [[1000, "next", {}]] * 4

    here, remarks = evaluated(
        "return [bundle.steps[state.at].id, state.remarks]", log, ways=TWO_STORIES
    )

    assert here == "dry"
    assert remarks == [
        "Finished before the slip, and not repeated: Scrub back and forth."
    ]


def test_a_slip_on_the_way_of_an_unfinished_step_is_a_stop(evaluated: Any) -> None:
    log = [*SLIPPED, [500, "way", WAY_AMID], [1000, "next", {}]]
    worked = {
        "of": {"scrub/touched": "0"}, "after": {},
        "groups": {"0": [[0], [0], [0], [0]]},
        "rows": [way("touched", GLOVES, "dry")],
    }  # fmt: skip

    endings = evaluated(
        "return m.rowsHere(state, bundle).map((row) => row.ending)",
        log,
        ways=TWO_STORIES,
        ways_in_ways=worked,
    )

    assert endings == ["stop"]


def test_a_step_that_something_still_held_is_done_anew_whatever_is_pressed(
    evaluated: Any,
) -> None:
    log = [*SLIPPED, *FINISHED]

    here, left, may = evaluated(
        "return [bundle.steps[state.at].id, m.leftMs(state.span, t), "
        "m.mayBeFinished(state)]",
        log,
    )

    assert (here, may) == ("scrub", False)
    assert left == 59_500


def test_a_way_back_that_redid_the_step_goes_on_after_it(evaluated: Any) -> None:
    redo = {**BACK, "acts": [*GLOVES, "scrub"]}
    log = [*SLIPPED, [500, "way", redo], *([[1000, "next", {}]] * 5)]

    assert evaluated("return bundle.steps[state.at].id", log) == "dry"


def test_a_way_out_of_a_way_takes_the_place_of_the_rest(evaluated: Any) -> None:
    second = {"kind": "way-back", "acts": ["say", "scrub"], "then": "dry", "needs": {}}
    log = [*SLIPPED, [500, "way", BACK], [1000, "next", {}]]
    log += [[1000, "slip", {"slip": "touched"}], [500, "way", second]]
    log += [[1000, "next", {}], [1000, "next", {}]]
    rows = {
        "scrub/touched": {"1": [{**second, "slip": "touched", "ending": "way-back"}]}
    }

    here, slips = evaluated(
        "return [bundle.steps[state.at].id, state.slips]", log, ways_in_ways=rows
    )

    assert here == "dry"
    assert [slip["ended"] for slip in slips] == ["way-back", "way-back"]


def test_a_second_slip_nobody_worked_out_is_a_stop(evaluated: Any) -> None:
    log = [*SLIPPED, [500, "way", BACK], [1000, "slip", {"slip": "touched"}]]

    row = evaluated("return m.rowFor(state, bundle, 'touched')", log)

    assert row["ending"] == "stop"
    assert "second slip" in row["because"]


def test_a_slip_pressed_by_mistake_leaves_no_trace_in_the_account(
    evaluated: Any,
) -> None:
    log = [*SLIPPED, [5000, "slip-withdrawn", {}], [50_000, "next", {}]]

    account = evaluated("return m.accountOf(bundle, state, 'tablet')", log)

    assert account["slips"] == []
    assert account["steps"][-1]["seconds"] == 60


def test_a_slip_that_is_stopped_instead_is_told_as_stopped(evaluated: Any) -> None:
    log = [*SLIPPED, [500, "stop", {"why": "The child is not well."}]]

    doing, slips, slip = evaluated(
        "return [state.span.id, state.slips, state.slip]", log
    )

    assert doing == "say"
    assert slip is None
    assert [(one["slip"], one["ended"]) for one in slips] == [("touched", "stop")]


def test_a_slip_in_a_pause_ends_the_pause(evaluated: Any) -> None:
    log = [*SCRUBBING, [9000, "pause", {"why": "Comfort."}]]
    log += [[5000, "slip", {"slip": "touched"}], [500, "way", BACK]]

    paused, pauses, doing = evaluated(
        "return [state.paused, state.pauses, state.span.id]", log
    )

    assert paused is None
    assert pauses[0]["why"] == "Comfort."
    assert doing == "say"


def test_spares_that_are_gone_are_named(evaluated: Any) -> None:
    log = [*SLIPPED, [500, "way", BACK], *([[1000, "next", {}]] * 4)]
    lacking = "return m.lackingNow(m.rowFor(state, bundle, 'touched'), state.left)"
    log += [[1000, "slip", {"slip": "touched"}]]

    assert evaluated(lacking, log) == {"gloves": 1}
    brought = [0, "brought", {"items": {"gloves": 1}, "says": "Brought."}]
    assert evaluated(lacking, [*log, brought]) == {}


def test_a_step_back_and_on_again_keeps_the_time_of_both(evaluated: Any) -> None:
    log = [*SCRUBBING, [60_000, "next", {}], [4000, "back", {}]]
    on = [*log, [5000, "next", {}]]

    here, left = evaluated("return [state.span.id, m.leftMs(state.span, t)]", log)
    then, passed, done = evaluated(
        "return [state.span.id, m.passedMs(state.span, t + 1000), state.done.at(-1)]",
        on,
    )

    assert (here, left) == ("scrub", 0)
    assert (then, passed) == ("dry", 5000)
    assert (done["id"], done["seconds"]) == ("scrub", 65)


def test_no_step_back_goes_behind_a_way_back(evaluated: Any) -> None:
    log = [*SLIPPED, [500, "way", BACK], *([[1000, "next", {}]] * 4)]
    code = "return [m.mayGoBack(state), bundle.steps[state.at].id]"

    assert evaluated(code, [*log, [10, "back", {}]]) == [False, "scrub"]
    assert evaluated(code, SCRUBBING) == [True, "scrub"]


def test_a_change_at_the_review_tells_first_and_last_value_once(evaluated: Any) -> None:
    log = [[0, "begun", {}], [1, "value", {"field": "length", "value": "40"}]]
    log += [
        [1, "edit", {"field": "length", "to": text, "why": "Misheard."}]
        for text in ("4", "42")
    ]

    account = evaluated("return m.accountOf(bundle, state, '')", log)

    assert account["values"]["length"] == 42
    assert account["edits"] == [
        {"field": "length", "from": "40", "to": "42", "why": "Misheard."}
    ]


def test_what_is_typed_after_a_confirmation_asks_for_it_again(evaluated: Any) -> None:
    log = [[0, "begun", {}], [1, "confirm", {"person": "s-1"}]]
    more = [1, "value", {"field": "outcome", "value": "x"}]

    assert len(evaluated("return state.confirmed", log)) == 1
    assert evaluated("return state.confirmed", [*log, more]) == []


def test_a_log_cut_anywhere_and_gone_on_with_comes_to_the_same(evaluated: Any) -> None:
    wrong = evaluated(
        """let seed = 7;
        const chance = (n) => { seed = (seed * 48271) % 2147483647; return seed % n; };
        const kinds = ["next", "next", "next", "back", "look", "early", "value", "slip", "way",
            "slip-withdrawn", "pause", "resume", "off", "go-on", "jump", "stop", "brought", "facts", "queued"];
        const more = (type, t) => ({
            look: { answer: chance(2) ? "yes" : "no" }, early: { reason: "x" },
            value: { field: "length", value: String(chance(90)) },
            slip: { slip: "touched" }, off: { held_t: t - chance(900), held_at: "", ms: 5 },
            way: { kind: "way-back", acts: ["say", "hands"], then: "dry", needs: { gloves: 1 } },
            stop: { why: "x" }, brought: { items: { gloves: 1 }, says: "x" },
            facts: { mark: "n", changed: [] }, jump: { seconds: 9 }, pause: { why: "x" },
        })[type] ?? {};
        const wrong = [];
        for (let trial = 0; trial < 300; trial += 1) {
            const log = [{ run: "r", at: "a", t: 0, type: "begun" }];
            let at = 0;
            for (let i = 0; i < 60; i += 1) {
                at += 1 + chance(9000);
                const type = kinds[chance(kinds.length)];
                log.push({ run: "r", at: `a${i}`, t: at, type, ...more(type, at) });
            }
            const whole = m.fold(bundle, log);
            const cut = chance(log.length);
            const again = log.slice(cut).reduce((one, event) => m.advance(one, event, bundle), m.fold(bundle, log.slice(0, cut)));
            const passed = whole.done.reduce((sum, one) => sum + one.seconds * 1000, 0);
            if (JSON.stringify(whole) !== JSON.stringify(again)) wrong.push(`${trial}: differs`);
            if (passed > at + 60 * 50) wrong.push(`${trial}: more counted than passed`);
            if (whole.bare_ms > at) wrong.push(`${trial}: bare longer than it took`);
            if (Object.values(whole.left).some((count) => count < 0)) wrong.push(`${trial}: less than no spares`);
        }
        return wrong;"""
    )

    assert wrong == []


@pytest.mark.parametrize(
    ("key", "tag", "kind", "command"),
    [
        (" ", "H1", "", "next"),
        ("ArrowRight", "BODY", "", "next"),
        ("PageDown", "TEXTAREA", "", "next"),
        ("PageUp", "INPUT", "text", "back"),
        (" ", "BUTTON", "", None),
        ("ArrowRight", "BUTTON", "", "next"),
        ("s", "INPUT", "text", None),
        ("s", "INPUT", "radio", "slip"),
        (" ", "INPUT", "radio", None),
        ("1", "H1", "", "yes"),
        ("2", "H1", "", "no"),
        ("x", "H1", "", None),
    ],
)
def test_a_key_means_what_it_should(
    evaluated: Any, key: str, tag: str, kind: str, command: str | None
) -> None:
    said = evaluated(f"return m.commandOf({key!r}, {tag!r}, {kind!r})")

    assert said == command


@pytest.mark.parametrize(
    ("answer", "status", "goes_again"),
    [
        ("null", "no-network", True),
        ("{ status: 200, body: receipt }", "sent", False),
        ("{ status: 200, body: { ...receipt, status: 'kept-beside' } }", "sent", False),
        ("{ status: 200, body: { ...receipt, run: 'r-9' } }", "no-answer", True),
        (
            "{ status: 200, body: { ...receipt, acknowledges: 'd9' } }",
            "no-answer",
            True,
        ),
        ("{ status: 200, body: { ...receipt, entries: [] } }", "no-answer", True),
        ("{ status: 200, body: { ...receipt, entries: 7 } }", "no-answer", True),
        ("{ status: 200, body: { ...receipt, status: 'ok' } }", "no-answer", True),
        ("{ status: 200, body: { status: 'written' } }", "no-answer", True),
        ("{ status: 201, body: receipt }", "no-answer", True),
        ("{ status: 200, body: null }", "no-answer", True),
        ("{ status: 502, body: null }", "no-answer", True),
        ("{ status: 503, body: { status: 'faulty' } }", "no-answer", True),
        ("{ status: 401, body: { status: 'sign-in' } }", "sign-in", True),
        ("{ status: 403, body: { status: 'not-yours' } }", "not-yours", True),
        ("{ status: 403, body: { status: 'stale-token' } }", "no-answer", True),
        ("{ status: 409, body: { changed: [], mark: 'm' } }", "facts-changed", False),
        ("{ status: 409, body: { changed: [] } }", "no-answer", True),
        ("{ status: 422, body: { faults: [] } }", "faulty", False),
        ("{ status: 422, body: { status: 'not-json' } }", "no-answer", True),
    ],
)
def test_an_answer_is_believed_only_if_it_is_the_guides_own(
    evaluated: Any, answer: str, status: str, goes_again: bool
) -> None:
    found = evaluated(f"{RECEIPT}; return m.outcome({answer}, 0, sent)")

    assert found["status"] == status
    assert bool(found.get("again")) == goes_again


def test_a_slip_is_found_by_first_letters_or_number(evaluated: Any) -> None:
    code = (
        "return Object.keys(bundle.slips).filter((id) => m.fits(bundle.slips[id], %r))"
    )

    assert evaluated(code % "glo be") == ["touched"]
    assert evaluated(code % "13") == ["returned"]
    assert evaluated(code % "love") == []
    assert len(evaluated(code % "")) == 3


@pytest.mark.parametrize(
    ("typed", "is_wrong"),
    [
        ("42", False),
        ("42,5", False),
        ("", False),
        ("4o", True),
        ("-1", True),
        ("601", True),
    ],
)
def test_a_number_that_cannot_be_is_said(
    evaluated: Any, typed: str, is_wrong: bool
) -> None:
    code = f"return m.faultOf(bundle.entry.fields[0], {typed!r})"

    assert bool(evaluated(code)) == is_wrong


def test_practice_offers_one_right_answer_among_others(evaluated: Any) -> None:
    practice = {"seed": 3, "slips": [{"step": "scrub", "slip": "touched"}]}

    thrown, answers, early = evaluated(
        """const thrown = m.thrownNow(state, bundle, t + 2000);
        return [thrown, m.answersFor(thrown, state, bundle), m.thrownNow(state, bundle, t + 100)];""",
        SCRUBBING,
        practice=practice,
    )

    assert thrown == {"step": "scrub", "slip": "touched"}
    assert early is None
    assert len(answers) == 4
    assert [one["says"] for one in answers if one["is_right"]] == [
        "Gloves off. Clean the hands. New sterile gloves on."
    ]


def test_lasting_in_words(evaluated: Any) -> None:
    said = evaluated("return [400, 40e3, 60e3, 130e3, 3900e3].map(m.lasting)")

    assert said == ["0 s", "40 s", "1 min", "2 min 10 s", "1 h 05 min"]


def test_where_only_a_hub_is_opened_no_site_is_said_to_be_bare(evaluated: Any) -> None:
    hub = {"id": "connector-change", "title": "Connector change", "resets": []}

    code = "return m.openFor(bundle, 21_000)"
    assert evaluated(code) == "Site bare for 21 s"
    assert evaluated(code, procedure=hub) == "Hub open for 21 s"
