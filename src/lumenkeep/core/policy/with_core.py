"""Hold a set to the core: what it leaves out or says otherwise counts all the same."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.core import CORE, FIELDS, Core
from lumenkeep.core.policy.row_texts import names_of
from lumenkeep.core.policy.rule_texts import filled

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from lumenkeep.core.policy.conditions import Comparison
    from lumenkeep.core.policy.numbers import Number
    from lumenkeep.core.policy.policy import Policy
    from lumenkeep.core.policy.rules import Rule

NOT_MEANT = frozenset(("because", "source", "how", "where", "numbers", "reports", "id"))
NUMBERS = frozenset(
    (
        "strength_at_most", "scrub_at_least", "scrub_at_most", "dry_at_least", "swabs_at_least",
        "staff_at_least", "stays_at_most", "stays_at_least", "rests_at_least", "film_at_most", "weighing_at_most",
        "at_least", "low", "high",
    )
)  # fmt: skip
"""Fields that name a number of the core; all others hold words, or what sets call theirs."""


def with_core(policy: Policy, core: Core) -> Policy:
    """Return a set with what of the core it neither states alike nor loosens."""
    loose = {one.id for one in policy.loosened}
    more: dict[str, list[Rule]] = {kind: [] for kind in FIELDS}
    for kind, rules in core.rules.items():
        said = {rule.id: rule for rule in getattr(policy, FIELDS[kind])}
        for id_, rule in rules.items():
            own = said.get(id_)
            if id_ not in loose and not (
                own and meant(own, policy.numbers) == meant(rule, core.numbers)
            ):
                more[kind].append(_of_the_core(rule, core))
    added = [rule for rules in more.values() for rule in rules]
    named = {n for rule in added for n in _numbers_of(rule)}
    numbers = {
        CORE + id_: replace(number, id=CORE + id_)
        for id_, number in core.numbers.items()
        if CORE + id_ in named
    }
    cited = {rule.source for rule in added}
    cited |= {v.source for n in numbers.values() for v in n.values}
    changes: dict[str, Any] = {
        FIELDS[kind]: (*getattr(policy, FIELDS[kind]), *rules)
        for kind, rules in more.items()
    }
    return replace(
        policy,
        numbers={**policy.numbers, **numbers},
        sources={**{i: core.sources[i] for i in cited}, **policy.sources},
        core=core,
        written={**policy.written, **{rule.id: rule for rule in added}},
        **changes,
    )


def own_only(rules: Iterable[Rule]) -> list[Rule]:
    """Return the rules that sets wrote, without those that the core added."""
    return [rule for rule in rules if not rule.id.startswith(CORE)]


def meant(rule: Rule, numbers: Mapping[str, Number]) -> tuple[object, ...]:
    """Return what a rule decides, whatever it is called and however it is told."""
    found: list[object] = [type(rule)]
    for name in names_of(rule):
        if name in NOT_MEANT:
            continue
        value = getattr(rule, name)
        if name == "when":
            value = tuple(tuple(_of_row(c, numbers) for c in row) for row in rule.when)
        elif name in NUMBERS:
            value = _dated(numbers.get(value or ""))
        found.append((name, value))
    return tuple(found)


def _of_row(one: Comparison, numbers: Mapping[str, Number]) -> object:
    return one.fact, one.test, one.words, _dated(numbers.get(one.number or ""))


def _dated(number: Number | None) -> object:
    return number and tuple((v.start, v.value) for v in number.values)


def _of_the_core(rule: Rule, core: Core) -> Rule:
    """Return a rule of the core under ids that no set can touch, its sentence filled."""
    told = filled(rule, core.numbers, date.max)
    changes: dict[str, Any] = {"id": CORE + rule.id, "reports": True, "numbers": ()}
    for name in names_of(rule):
        value = getattr(rule, name)
        if name in NUMBERS and value:
            changes[name] = CORE + value
    changes["when"] = tuple(
        tuple(replace(c, number=CORE + c.number) if c.number else c for c in row)
        for row in rule.when
    )
    return replace(told, **changes)


def _numbers_of(rule: Rule) -> set[str]:
    found = {c.number for row in rule.when for c in row if c.number}
    return found | {getattr(rule, n) for n in names_of(rule) if n in NUMBERS}
