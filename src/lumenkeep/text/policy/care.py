"""The chapters on the child's skin and line: antiseptics, dressings, what is due, the child."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model import words
from lumenkeep.core.policy import LiveRule, LiveWhen
from lumenkeep.core.policy.vocabulary import TASKS
from lumenkeep.text.policy.parts import (
    Citations,
    Detail,
    ReadingPart,
    Section,
    StatementText,
)
from lumenkeep.text.policy.words import capital, item_words, listed

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lumenkeep.core.policy.child_rules import CallRule, FilmSize, Weighing
    from lumenkeep.core.policy.rules import Agent, AtOnce, Exclusion, Interval, SiteRule
    from lumenkeep.text.policy.parts import Citations

DRESSING = "dressing"
ALWAYS = LiveWhen(())
PLACES = ("First", "Then", "Then", "Then")
LOOK = "look"


def care_sections(tell: Citations) -> tuple[Section, ...]:
    """Return the chapters from the choice of the antiseptic to what falls due."""
    return (
        _antiseptics(tell),
        _referrals(tell),
        _use(tell),
        _dressings(tell),
        _at_once(tell),
        _windows(tell),
    )


def if_words(tell: Citations, when: LiveWhen, otherwise: str = "Always") -> str:
    """Return "When …", or other words for a rule that always holds."""
    words_ = tell.when(when)
    return f"When {words_}" if words_ else otherwise


def _antiseptics(tell: Citations) -> Section:
    policy = tell.book.policy
    order = ReadingPart(
        "The order in which they are tried",
        tuple(
            StatementText("", f"{_place(position)}: {item_words(policy, agent)}.")
            for position, agent in enumerate(policy.antiseptics)
        ),
    )
    bars_an_agent = [
        e for e in tell.book.exclusions if set(e.rule.bars) & set(policy.agents)
    ]
    baths = [
        e
        for e in tell.book.exclusions
        if e not in bars_an_agent and not set(e.rule.bars) & set(words.DRESSINGS)
    ]
    return Section(
        "antiseptic",
        "Which antiseptic for whom",
        "The first that nothing bars is used. Where it is not known whether a rule "
        "holds, that is asked before the change; nothing is used that may be barred.",
        (order, *_grouped(tell, [*bars_an_agent, *baths])),
    )


def _place(position: int) -> str:
    return PLACES[min(position, len(PLACES) - 1)]


def _grouped(
    tell: Citations, exclusions: Iterable[LiveRule[Exclusion]]
) -> tuple[ReadingPart, ...]:
    """Return exclusions under what they bar, those that bar the same together."""
    groups: dict[tuple[str, ...], list[StatementText]] = {}
    for live in exclusions:
        groups.setdefault(live.rule.bars, []).append(_exclusion(tell, live))
    return tuple(
        ReadingPart(_barred(tell, bars), tuple(statements))
        for bars, statements in groups.items()
    )


def _barred(tell: Citations, bars: Sequence[str]) -> str:
    policy = tell.book.policy
    return capital(listed([item_words(policy, item) for item in bars]))


def _exclusion(tell: Citations, live: LiveRule[Exclusion]) -> StatementText:
    rule, when = live.rule, tell.when(live.when)
    details = []
    if rule.lifts:
        details.append(Detail("Ends", f"When {rule.lifts}."))
    if rule.if_unknown == LOOK:
        look = "Look when the old dressing is off, with the next one ready."
        details.append(Detail("Not known", look))
    if rule.takes_away:
        details.append(
            Detail("As the child grows", "It may bar what was allowed before.")
        )
    text = f"Not when {when}." if when else "Never."
    return tell.statement(live, text, details=details)


def _referrals(tell: Citations) -> Section:
    found = []
    for live in tell.book.referrals:
        call = live.rule.call or tell.book.policy.call
        details = [Detail("Call", f"{capital(call)}.")]
        if live.rule.takes_away:
            details.append(
                Detail("As the child grows", "It may end what was allowed before.")
            )
        text = f"{if_words(tell, live.when)}: stop and call."
        found.append(tell.statement(live, text, details=details))
    call = tell.book.policy.call
    lead = f"Where no antiseptic is left, stop and call {call}."
    return Section(
        "call",
        "When a person must decide, and whom to call",
        lead,
        (
            ReadingPart("", tuple(found)),
            ReadingPart("Whom to call for whom", calls(tell)),
        ),
    )


def _use(tell: Citations) -> Section:
    policy = tell.book.policy
    used = [_agent(tell, policy.agents[a]) for a in policy.antiseptics]
    others = [
        _agent(tell, agent)
        for id_, agent in policy.agents.items()
        if id_ not in policy.antiseptics
    ]
    sites = [_site_rule(tell, live) for live in tell.book.site_rules]
    return Section(
        "use",
        "How each is used",
        "Times are the least there are.",
        (
            ReadingPart("", tuple(used)),
            ReadingPart("Where the line enters", tuple(sites)),
            *child_parts(tell),
            ReadingPart("Described, but not used under this policy", tuple(others)),
        ),
    )


def _agent(tell: Citations, agent: Agent) -> StatementText:
    details = [_scrub(tell, agent), _dry(tell, agent), _skin(tell, agent)]
    if agent.residue:
        with_what = f"With {agent.residue.replace('-', ' ')}."
        after = f" {agent.residue_words}" if agent.residue_words else ""
        details.append(Detail("What is left on the skin", with_what + after))
    if agent.helper:
        details.append(Detail("Second person", agent.helper))
    if agent.strength:
        strength = f"{capital(tell.words(agent.strength))}."
        details.append(Detail("Strength", strength, tell.of_numbers(agent.strength)))
    live = LiveRule(agent, ALWAYS)
    named = (
        agent.swabs,
        agent.seconds_per_swab,
        agent.dry,
        agent.area_low,
        agent.area_high,
        agent.strength,
    )
    later = tell.later(number for number in named if number)
    return tell.statement(live, f"{agent.label}.", details=(*details, *later))


def _scrub(tell: Citations, agent: Agent) -> Detail:
    swabs = tell.words(agent.swabs)
    text = f"{swabs} {'swab' if swabs == '1' else 'swabs'}"
    if agent.seconds_per_swab:
        text += f", {tell.words(agent.seconds_per_swab)} with each"
    cites = tell.of_numbers(agent.swabs, agent.seconds_per_swab)
    return Detail("Scrub", f"{text}. {agent.motion_words}", cites)


def _dry(tell: Citations, agent: Agent) -> Detail:
    text = f"At least {tell.words(agent.dry)}. {agent.dry_judgement}"
    return Detail("Dry", text, tell.of_numbers(agent.dry))


def _skin(tell: Citations, agent: Agent) -> Detail:
    low, high = tell.words(agent.area_low), tell.words(agent.area_high)
    text = f"{low} across." if low == high else f"{low} to {high} across."
    return Detail("Skin", text, tell.of_numbers(agent.area_low, agent.area_high))


def _site_rule(tell: Citations, live: LiveRule[SiteRule]) -> StatementText:
    rule = live.rule
    text = (
        f"{if_words(tell, live.when)}: scrub at least {tell.words(rule.scrub)}, dry at "
        f"least {tell.words(rule.dry)}, whatever the antiseptic."
    )
    return tell.statement(live, text, numbers=(rule.scrub, rule.dry))


def _dressings(tell: Citations) -> Section:
    policy = tell.book.policy
    order = ReadingPart(
        "The order in which they are tried",
        tuple(
            StatementText("", f"{_place(position)}: {item_words(policy, kind)}.")
            for position, kind in enumerate(policy.dressings)
        ),
    )
    only_dressings = [
        e
        for e in tell.book.exclusions
        if set(e.rule.bars) & set(words.DRESSINGS)
        and not set(e.rule.bars) & set(policy.agents)
    ]
    stays = tuple(_interval(tell, live) for live in tell.book.intervals_of(DRESSING))
    return Section(
        "dressing",
        "Which dressing, and how long it stays",
        "The first that nothing bars goes on. What bars an antiseptic above may bar "
        "a dressing too, and says so there. A dressing that is on and barred comes off "
        "now.",
        (
            order,
            *_grouped(tell, only_dressings),
            ReadingPart("How long it stays", stays),
        ),
    )


def interval_words(tell: Citations, rule: Interval) -> str:
    """Return from when and until when, as in "not before 96 hours and after 7 days at most"."""
    if rule.nothing_due:
        return "nothing is due"
    parts = []
    if rule.not_before:
        parts.append(f"not before {tell.words(rule.not_before)}")
    if rule.not_after:
        parts.append(f"after {tell.words(rule.not_after)} at most")
    return " and ".join(parts) or "no fixed time, until a finding asks for it"


def _interval(tell: Citations, live: LiveRule[Interval]) -> StatementText:
    rule = live.rule
    details = []
    if rule.priority:
        details.append(Detail("Order", "It goes before the others where both hold."))
    when = tell.when(live.when)
    text = capital(f"{f'when {when}: ' if when else ''}{interval_words(tell, rule)}.")
    numbers = [n for n in (rule.not_before, rule.not_after) if n]
    return tell.statement(live, text, details=details, numbers=numbers)


def _at_once(tell: Citations) -> Section:
    def one(live: LiveRule[AtOnce]) -> StatementText:
        what = TASKS[live.rule.task]
        return tell.statement(live, f"{what}: at once {_if(tell, live.when)}.")

    found = tuple(one(live) for live in tell.book.at_once)
    return Section(
        "at-once", "What makes a change due at once", "", (ReadingPart("", found),)
    )


def _if(tell: Citations, when: LiveWhen) -> str:
    words_ = tell.when(when)
    return f"when {words_}" if words_ else "always"


def _windows(tell: Citations) -> Section:
    parts = tuple(
        ReadingPart(
            label, tuple(_interval(tell, i) for i in tell.book.intervals_of(task))
        )
        for task, label in TASKS.items()
        if task != DRESSING
    )
    return Section(
        "due",
        "What else falls due",
        "Counted from the last time it was done. Hours are hours by the clock; days, "
        "months and years go by the calendar.",
        parts,
    )


def calls(tell: Citations) -> tuple[StatementText, ...]:
    """Return whom to call for which children, in place of the set's own."""
    return tuple(_call(tell, live) for live in tell.book.calls)


def child_parts(tell: Citations) -> tuple[ReadingPart, ...]:
    """Return how long a weighing counts, and which film suits whom."""
    return (
        ReadingPart(
            "How long a weighing counts",
            tuple(_weighing(tell, live) for live in tell.book.weighings),
        ),
        ReadingPart(
            "The film, and the skin that is cleaned for it",
            tuple(_film(tell, live) for live in tell.book.films),
        ),
    )


def _whom(tell: Citations, live: LiveRule[CallRule | Weighing | FilmSize]) -> str:
    when = tell.when(live.when)
    return capital(f"when {when}") if when else "For everyone"


def _call(tell: Citations, live: LiveRule[CallRule]) -> StatementText:
    text = f"{_whom(tell, live)}: call {live.rule.who}."
    return tell.statement(live, text)


def _weighing(tell: Citations, live: LiveRule[Weighing]) -> StatementText:
    rule = live.rule
    text = (
        f"{_whom(tell, live)}: a weighing counts for {tell.words(rule.counts_for)}; "
        f"after that the child may have lost {tell.words(rule.may_lose)} of it."
    )
    numbers: tuple[str, ...] = (rule.counts_for, rule.may_lose)
    if rule.asks_after:
        numbers = (*numbers, rule.asks_after)
        after = tell.words(rule.asks_after)
        text += (
            f" After {after} a new one is asked for beside a plan that it may change."
        )
    return tell.statement(live, text, numbers=numbers)


def _film(tell: Citations, live: LiveRule[FilmSize]) -> StatementText:
    rule = live.rule
    text = (
        f"{_whom(tell, live)}: a film of {tell.words(rule.width)} by "
        f"{tell.words(rule.height)}; clean the skin {tell.words(rule.area_low)} to "
        f"{tell.words(rule.area_high)} across."
    )
    named = (rule.width, rule.height, rule.area_low, rule.area_high)
    return tell.statement(live, text, numbers=named)
