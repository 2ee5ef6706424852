"""Which numbers of a set lie beyond a sane span, on a day or after it."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.numbers import size_of, value_in_words
from lumenkeep.core.policy.rules import Agent, Rule
from lumenkeep.core.policy.sane import NUMBER, SCRUB, STEP, TAGS, Sane

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from datetime import date

    from lumenkeep.core.policy.numbers import DatedValue, Number
    from lumenkeep.core.policy.policy import Policy


@dataclass(frozen=True, slots=True)
class Insane:
    """A number outside its span: what is wrong, the rules, and how to mend it."""

    says: str
    rules: tuple[Any, ...]
    number_where: str
    mend: str


def insane(
    policy: Policy, day: date, numbers: Mapping[str, Number] | None = None
) -> Iterator[Insane]:
    """Yield each number that is beyond a sane span from a day on.

    Parameters
    ----------
    day
        From this day on every value counts, those of later days too.
    numbers
        Numbers to be looked at by id instead of the set's, as those of procedures.
    """
    for row in policy.sane:
        kind, _, key = row.of.partition(".")
        if kind == NUMBER:
            number = (policy.numbers if numbers is None else numbers).get(key)
            if number is not None:
                yield from _outside(policy, row, None, number, 1, day)
        elif numbers is None and kind != STEP:
            for rule in _meant(policy, row, kind):
                yield from _of_rule(policy, row, rule, key, day)


def insane_steps(
    policy: Policy, day: date, steps: Iterable[Any], numbers: Mapping[str, Number]
) -> Iterator[Insane]:
    """Yield each step of a procedure whose time is beyond a sane span from a day on.

    Parameters
    ----------
    steps
        Each with ``id``, ``where``, ``verb`` and ``seconds``, the id of a number.
    numbers
        Those that steps may name.
    """
    spans = [(row, row.of.partition(".")) for row in policy.sane]
    for step in steps:
        number = numbers.get(step.seconds or "")
        for row, (kind, _, verb) in spans:
            if number is not None and kind == STEP and verb == step.verb:
                yield from _outside(policy, row, step, number, 1, day)


def _meant(policy: Policy, row: Sane, kind: str) -> Iterator[Rule]:
    rules = policy.agents.values() if kind == "agent" else policy.of_kind(kind)
    for rule in rules:
        tags = _tags(rule)
        if set(row.which) <= tags and not set(row.not_which) & tags:
            yield rule


def _tags(rule: Rule) -> set[str]:
    found: set[str] = set()
    for one in fields(rule):
        if one.name in TAGS:
            value = getattr(rule, one.name)
            found |= {value} if isinstance(value, str) else set(value or ())
    return found


def _of_rule(
    policy: Policy, row: Sane, rule: Rule, key: str, day: date
) -> Iterator[Insane]:
    if row.of == SCRUB and isinstance(rule, Agent):
        each = policy.numbers.get(rule.seconds_per_swab or "")
        swabs = policy.numbers.get(rule.swabs)
        if each is not None and swabs is not None:
            for at in _days(day, each, swabs):
                count = swabs.on(at)
                if count is not None:
                    times = size_of(count.value)
                    yield from _outside(policy, row, rule, each, times, at, only=True)
        return
    number = policy.numbers.get(getattr(rule, key, None) or "")
    if number is not None:
        yield from _outside(policy, row, rule, number, 1, day)


def _outside(
    policy: Policy,
    row: Sane,
    rule: Any,
    number: Number,
    times: float,
    day: date,
    *,
    only: bool = False,
) -> Iterator[Insane]:
    """Yield where a number, so many times, is beyond a span, on a day or after it."""
    low, high = (policy.numbers.get(end or "") for end in (row.low, row.high))
    ends = [end for end in (low, high) if end is not None]
    days = [day] if only else _days(day, number, *ends)
    for at in days:
        value = number.on(at)
        if value is None:
            continue
        for end, is_low in ((low, True), (high, False)):
            limit = end.on(at) if end else None
            if end is None or limit is None:
                continue
            size, least = size_of(value.value) * times, size_of(limit.value)
            if size < least if is_low else size > least:
                yield _told(policy, row, rule, number, value, end, limit, is_low)
                return


def _told(
    policy: Policy,
    row: Sane,
    rule: Any,
    number: Number,
    value: DatedValue,
    end: Number,
    limit: DatedValue,
    is_low: bool,  # noqa: FBT001  which of the two ends was passed
) -> Insane:
    of = f"'{rule.id}'" if rule else f"'{number.id}'"
    part = row.of.partition(".")[2].replace("_", " ")
    part = f", {part}," if rule else ""
    here = value_in_words(value.value, number.unit)
    there = value_in_words(limit.value, end.unit)
    side = "less" if is_low else "more"
    source = policy.sources[row.source].title
    return Insane(
        f"{of}{part} is {here} from {value.start} on: {side} than {there}. "
        f"{row.because} ({source})",
        (row, *((rule,) if rule else ())),
        number.where,
        "correct the number; a hospital that means it names "
        f"'{row.id.removeprefix('core:')}' under [[loosened]], with reason and source",
    )


def _days(day: date, *numbers: Number) -> list[date]:
    starts = {v.start for number in numbers for v in number.values if v.start > day}
    return [day, *sorted(starts)]
