"""Watching lengths: what one line shows, and how exactly a ward measures."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.model.chart import standing
from lumenkeep.core.model.place import place
from lumenkeep.core.policy.numbers import as_seconds
from lumenkeep.core.reading.line_reading import Hold, read_line
from lumenkeep.core.watch.concerns import Concern
from lumenkeep.core.watch.length import LengthRules, LengthVerdict, Measured, judge_each
from lumenkeep.core.watch.length_rules import measuring_rules, moved_asks
from lumenkeep.core.watch.length_words import arm_words, length_sentence, told_at_once
from lumenkeep.core.watch.measuring_error import (
    LENGTH,
    LengthPair,
    Spread,
    measuring_error,
    pairs_of_line,
)
from lumenkeep.ward.chart.line_at_hand import RulesOfWard

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.policy import RuleBook
    from lumenkeep.ward.chart.line_at_hand import LineAtHand
    from lumenkeep.ward.chart.store.children import ChildRepository
    from lumenkeep.ward.chart.store.policies import PoliciesInForce

KINDS_READ = ("stay", "line-inserted", "dressing-change", "site-check", "line-removed")
ARM_SITE = "upper-arm"


@dataclass(frozen=True, slots=True)
class MeasuredTwice:
    """What a ward's pairs say.

    Attributes
    ----------
    spread
        None where there is no pair.
    used_mm, used_how
        The standard deviation that the policy goes by, and how that is known; None
        where it states none.
    within
        How soon the second must follow; None where the policy does not say, and then
        there are no pairs.
    pairs
        Latest first.
    asked_for
        Pairs left out, since the second was measured because the first was doubtful.
    """

    spread: Spread | None
    used_mm: float | None
    used_how: str
    within: timedelta | None
    pairs: tuple[LengthPair, ...]
    asked_for: int


def measured_twice(
    chart: ChildRepository, wards: Sequence[str], book: RuleBook
) -> MeasuredTwice:
    """Return what the pairs of some wards say of the error of measuring.

    Parameters
    ----------
    wards
        Keys of the wards on which the child lay when the line was measured.
    book
        The rules of now: their error stands beside what is found.
    """
    measuring = measuring_rules(book)
    if measuring is None:
        return MeasuredTwice(None, None, "", None, (), 0)
    rule, rules = measuring
    how = _how(book, rule.error)
    used = rules.error.sd if rules.error else None
    if rule.pair_within is None:
        return MeasuredTwice(None, used, how, None, (), 0)
    within = timedelta(seconds=as_seconds(book.value(rule.pair_within)))
    by_child = chart.entries_by_child(KINDS_READ, having=("line-inserted",))
    pairs: list[LengthPair] = []
    asked_for = 0
    for pair, is_asked_for in _pairs(by_child, within, rules, wards):
        if is_asked_for:
            asked_for += 1
        else:
            pairs.append(pair)
    pairs.sort(key=lambda one: (one.second.happened_at, one.second.id), reverse=True)
    spread = measuring_error([one.difference_mm for one in pairs])
    return MeasuredTwice(spread, used, how, within, tuple(pairs), asked_for)


def _pairs(
    by_child: Mapping[str, Sequence[Entry]],
    within: timedelta,
    rules: LengthRules,
    wards: Sequence[str],
) -> Iterator[tuple[LengthPair, bool]]:
    """Yield each pair, and whether its second was asked for by a doubtful first."""
    for entries in by_child.values():
        told = standing(entries)
        lines: dict[str, list[Entry]] = {}
        for entry in told:
            if entry.line is not None:
                lines.setdefault(entry.line, []).append(entry)
        for own in lines.values():
            asks_arm = any(e.body.get("site") == ARM_SITE for e in own)
            found = list(pairs_of_line(own, within, asks_arm=asks_arm))
            doubtful = _doubtful(own, rules) if found else frozenset[int]()
            for pair in found:
                if place(entries, pair.first.happened_at).ward in wards:
                    yield pair, pair.first.id in doubtful


def _doubtful(entries: Sequence[Entry], rules: LengthRules) -> frozenset[int]:
    """Return the entries whose length was more than error usually makes."""
    rows = [
        Measured(e.id, e.happened_at, float(e.body[LENGTH]), e.body.get("arm") or None)
        for e in entries
        if isinstance(e.body.get(LENGTH), int | float)
    ]
    return frozenset(
        row.entry
        for row, verdict in zip(rows, judge_each(rows, rules), strict=True)
        if verdict.state in ("moved", "measure-again")
    )


def _how(book: RuleBook, number: str) -> str:
    """Return how a number in force is known, as a word of the policy."""
    values = book.policy.numbers[number].values
    known = [value for value in values if value.start <= book.day]
    return known[-1].how or "" if known else ""


@dataclass(frozen=True, slots=True)
class WatchedLine:
    """A line as it is watched.

    Attributes
    ----------
    concerns
        Open ones first, the most pressing of them on top.
    verdict, rules, compared
        What the lengths say, by what rules, and which of them are compared.
    sentence
        The same in words.
    length_found_at
        Instants at which a length raised a concern (UTC).
    holds
        Why the line must not be used.
    told_at_once
        What a length just charted asks for, in words; empty where nothing.
    """

    concerns: tuple[Concern, ...]
    verdict: LengthVerdict
    rules: LengthRules
    compared: tuple[Measured, ...]
    sentence: str
    length_found_at: tuple[datetime, ...]
    holds: tuple[Hold, ...]
    told_at_once: str

    @property
    def open_concerns(self) -> tuple[Concern, ...]:
        """Those that nobody has closed."""
        return tuple(one for one in self.concerns if one.is_open)


def watch_line(
    line: LineAtHand, entries: Sequence[Entry], policies: PoliciesInForce, at: datetime
) -> WatchedLine:
    """Return what is watched of a line, as it stands at ``at`` (UTC).

    Parameters
    ----------
    line
        In place or removed.
    entries
        Of the line and its child, corrected ones included.
    """
    ward = line.ward
    reading = read_line(entries, at, RulesOfWard(policies, ward), ward.zone)
    verdict, length_rules = reading.verdict, reading.length_rules
    concerns = reading.all_concerns
    sentence = length_sentence(verdict, ward.zone, length_rules)
    arm = arm_words(verdict, length_rules.arm_note)
    found_at = {
        entry
        for concern in concerns
        if concern.found.duty.is_of_length
        for entry in concern.entries
    }
    return WatchedLine(
        tuple(sorted(concerns, key=lambda one: not one.is_open)),
        verdict,
        length_rules,
        reading.compared,
        f"{sentence} {arm}".strip(),
        tuple(e.happened_at for e in entries if e.id in found_at),
        reading.holds,
        told_at_once(verdict, moved_asks(line.policy.on(ward.day_of(at)))),
    )
