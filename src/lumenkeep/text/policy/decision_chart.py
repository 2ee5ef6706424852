"""The decision of a policy as questions, answers and the ways between them.

First whether a person must decide, then each antiseptic in order, then each dressing
in order. A question lists what bars an item; whoever follows the ways with the facts
of a child ends where the planner ends.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model import Elapsed, Line
from lumenkeep.core.model.closed_facts import stated_once_in
from lumenkeep.core.policy import Truth, any_of
from lumenkeep.text.policy.words import (
    capital,
    comparison_words,
    item_words,
    listed,
    row_words,
    value_words,
    when_words,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from lumenkeep.core.policy import LiveRule, Rule, RuleBook
    from lumenkeep.core.policy.rules import Agent, Interval, Referral

START, COVER, QUESTION, ANSWER, STOP = "start", "cover", "question", "answer", "stop"
SO_WORDS = {True: "one of these", False: "none of these"}
SO_WORDS_OF_ONE = {True: "if so", False: "if not"}
LOOK_MARK = " (look when the site is bare)"
NOTE = (
    "Where a question cannot be answered, follow both ways. If they end at the same "
    "answer, go on; if not, ask before the change, and use nothing that may be barred. "
    "For a dressing, what is not known counts as so, except what only the bare site "
    "can show."
)


@dataclass(frozen=True, slots=True)
class Node:
    """A place of the chart.

    Attributes
    ----------
    kind
        `START`, `COVER` (where the dressing begins), `QUESTION`, `ANSWER` or `STOP`.
    title, lines
        What stands in it.
    rules, looks
        Of a question: ids of the rules it asks about, and those among them that wait
        for a look at the site.
    item
        Of an answer: the antiseptic or the dressing.
    """

    key: str
    kind: str
    title: str
    lines: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
    looks: tuple[str, ...] = ()
    item: str = ""


@dataclass(frozen=True, slots=True)
class Way:
    """A way from one place to another.

    Attributes
    ----------
    so
        From a question: whether it is taken when something listed is so, or when
        nothing is; None where there is only this way.
    word
        The same in words.
    aside
        Whether it leads off the line of questions, to an answer beside it.
    """

    start: str
    end: str
    so: bool | None = None
    word: str = ""
    aside: bool = False


@dataclass(frozen=True, slots=True)
class DecisionChart:
    """Places and ways, in the order in which they are told."""

    title: str
    nodes: tuple[Node, ...]
    ways: tuple[Way, ...]
    note: str = NOTE

    def node(self, key: str) -> Node:
        """Return the place of that key."""
        return next(node for node in self.nodes if node.key == key)

    def ways_from(self, key: str) -> tuple[Way, ...]:
        """Return the ways that lead on from a place."""
        return tuple(way for way in self.ways if way.start == key)


def decision_chart(book: RuleBook) -> DecisionChart:
    """Return the chart of a rule book."""
    build = _Builder(book)
    build.spine(Node("start", START, "Which antiseptic?"))
    build.referrals()
    build.antiseptics()
    if book.policy.dressings and build.uses:
        build.dressings()
    return DecisionChart(
        f"Which antiseptic and which dressing: {book.policy.title}",
        tuple(build.nodes),
        tuple(build.ways),
    )


def answers_reached(
    chart: DecisionChart, holds: Callable[[str], Truth], start: str
) -> tuple[Node, ...]:
    """Return the answers at which one may end, following every way left open.

    Parameters
    ----------
    chart
        The chart.
    holds
        Whether a rule holds for the child: yes, no, or not known.
    start
        Key of the place to begin at; the dressing is a decision of its own.
    """
    node = chart.node(start)
    if node.kind in (ANSWER, STOP):
        return (node,)
    ways = chart.ways_from(start)
    if node.kind == QUESTION:
        so = any_of(_answered(rule, node, holds) for rule in node.rules)
        ways = tuple(way for way in ways if so is None or way.so is so)
    found = [n for way in ways for n in answers_reached(chart, holds, way.end)]
    return tuple(dict.fromkeys(found))


def _answered(rule: str, node: Node, holds: Callable[[str], Truth]) -> Truth:
    truth = holds(rule)
    return False if truth is None and rule in node.looks else truth


class _Builder:
    """Lays one place after the other along the line of questions."""

    def __init__(self, book: RuleBook) -> None:
        self.book = book
        self.nodes: list[Node] = []
        self.ways: list[Way] = []
        self.uses: list[str] = []
        self._last: Node | None = None
        self._so: bool | None = None

    def spine(self, node: Node, *, so: bool | None = None) -> None:
        """Add a place on the line; ``so`` is the answer that leads on from it."""
        self.nodes.append(node)
        if self._last:
            word = _so_word(self._last, so=self._so)
            self.ways.append(Way(self._last.key, node.key, self._so, word))
        self._last, self._so = node, so

    def beside(self, question: Node, answer: Node, *, so: bool) -> None:
        """Add an answer beside a question."""
        self.nodes.append(answer)
        word = _so_word(question, so=so)
        self.ways.append(Way(question.key, answer.key, so, word, aside=True))

    def referrals(self) -> None:
        """Ask first whether a person must decide; one question for each to call."""
        policy = self.book.policy
        by_call: dict[str, list[LiveRule[Referral]]] = {}
        for live in self.book.referrals:
            by_call.setdefault(live.rule.call or policy.call, []).append(live)
        for place, (call, lives) in enumerate(by_call.items(), 1):
            title = "Must a person decide?"
            question = self._question(f"refer-{place}", title, lives)
            self.spine(question, so=False)
            stop = Node(f"stop-{place}", STOP, "Stop and call", (f"{call}.",))
            self.beside(question, stop, so=True)

    def antiseptics(self) -> None:
        """Ask of each antiseptic in order what bars it."""
        for agent in self.book.policy.antiseptics:
            known = self.book.policy.agents[agent]
            lines = tuple(_use_lines(self.book, known))
            answer = Node(f"use-{agent}", ANSWER, known.label, lines, item=agent)
            self.uses.append(answer.key)
            if not self._try(
                agent, f"Is {item_words(self.book.policy, agent)} barred?", answer
            ):
                return
        title = "No antiseptic is left: stop and call"
        call = (f"{self.book.policy.call}.",)
        self.spine(Node("stop-none-left", STOP, title, call))

    def dressings(self) -> None:
        """Ask of each dressing in order what bars it, from every antiseptic on."""
        self._last = None
        self.spine(Node("cover", COVER, "Then: which dressing?"))
        self.ways += [Way(use, "cover") for use in self.uses]
        for kind in self.book.policy.dressings:
            label = capital(item_words(self.book.policy, kind))
            lines = tuple(_stay_lines(self.book, kind))
            answer = Node(f"cover-{kind}", ANSWER, label, lines, item=kind)
            if not self._try(
                kind, f"Is {item_words(self.book.policy, kind)} barred?", answer
            ):
                return
        title = "No dressing is left: stop and call"
        call = (f"{self.book.policy.call}.",)
        self.spine(Node("stop-no-dressing", STOP, title, call))

    def _try(self, item: str, title: str, answer: Node) -> bool:
        """Ask what bars an item; return whether anything can."""
        bars = self.book.bars(item)
        if not bars:
            self.spine(answer)
            return False
        question = self._question(f"ask-{item}", title, bars)
        self.spine(question, so=True)
        self.beside(question, answer, so=False)
        return True

    def _question(self, key: str, title: str, lives: Iterable[LiveRule[Rule]]) -> Node:
        rules = [live.rule for live in lives]
        looks = tuple(r.id for r in rules if getattr(r, "if_unknown", "") == "look")
        lines = tuple(line for live in lives for line in _lines(live, self.book))
        return Node(key, QUESTION, title, lines, tuple(r.id for r in rules), looks)


def _so_word(question: Node, *, so: bool | None) -> str:
    words = SO_WORDS if len(question.lines) > 1 else SO_WORDS_OF_ONE
    return "" if so is None else words[so]


def _lines(live: LiveRule[Rule], book: RuleBook) -> Iterable[str]:
    """Return a rule's rows, one a line: any one of them is enough."""
    mark = LOOK_MARK if getattr(live.rule, "if_unknown", "") == "look" else ""
    if not live.when.rows:
        return [f"always{mark}"]
    return [f"{row_words(row, book)}{mark}" for row in live.when.rows]


def _use_lines(book: RuleBook, agent: Agent) -> Iterable[str]:
    """Yield how an antiseptic is used, in short."""
    swabs, each = book.value(agent.swabs), None
    text = f"{swabs} {'swab' if swabs == 1 else 'swabs'}"
    if agent.seconds_per_swab:
        each = book.value(agent.seconds_per_swab)
        text += f", {_words(book, agent.seconds_per_swab)} each"
    yield text
    yield f"Dry at least {_words(book, agent.dry)}"
    for live in book.site_rules:
        scrub = book.value(live.rule.scrub)
        if isinstance(each, Elapsed) and isinstance(scrub, Elapsed):
            scrub = Elapsed(max(scrub.seconds, each.seconds * int(swabs)))  # type: ignore[arg-type]  # a count
        dry = max(
            (book.value(agent.dry), book.value(live.rule.dry)),
            key=lambda value: value.seconds,  # type: ignore[union-attr]  # elapsed
        )
        when = when_words(live.when, book) or "anywhere"
        yield (
            f"When {when}: scrub at least {value_words(scrub, 's')}, dry at least "
            f"{value_words(dry, 's')}"
        )
    if agent.residue:
        yield f"Then take it off with {agent.residue.replace('-', ' ')}"


def _words(book: RuleBook, number: str) -> str:
    return value_words(book.value(number), book.policy.numbers[number].unit)


BESIDE_THE_DRESSING = {fact.name for fact in stated_once_in(Line)} - {"site"}
"""Facts of the line alone; its site decides what holds there, so it stands with the stay."""


def _stay_lines(book: RuleBook, kind: str) -> Iterable[str]:
    """Yield how long a dressing stays, and for whom if not for all.

    What a kind of line changes, whatever the dressing, is told with the other rules.
    """
    for live in book.intervals_of("dressing"):
        if live.rule.nothing_due:
            continue
        stay = _stay(book, live)
        rows = [
            row
            for row in live.when.rows
            if _may_be(row, kind) and not {c.fact for c in row} <= BESIDE_THE_DRESSING
        ]
        if not live.when.rows:
            yield stay
        for row in rows:
            rest = [comparison_words(c, book) for c in row if c.fact != "dressing"]
            yield f"When {listed(rest)}: {stay}" if rest else capital(stay)


def _may_be(row: Iterable[object], kind: str) -> bool:
    for c in row:
        if getattr(c, "fact", "") == "dressing":
            is_named = kind in getattr(c, "limit", ())
            if is_named is not (getattr(c, "test", "") == "is"):
                return False
    return True


def _stay(book: RuleBook, live: LiveRule[Interval]) -> str:
    rule = live.rule
    if rule.not_after is None:
        return "stays until it fails"
    return f"stays {_words(book, rule.not_after)} at most"
