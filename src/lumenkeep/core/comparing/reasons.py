"""Why a set answers a region as it does: rules of the region, not of its example."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from typing import Any

    from lumenkeep.core.comparing.sides import Side
    from lumenkeep.core.policy import LiveRule, Rule
    from lumenkeep.core.policy.solver import Node


@dataclass(frozen=True, slots=True)
class Reason:
    """A rule that decides for children of a region.

    ``everywhere`` is whether it holds for all of them, or for some.
    """

    rule: str
    because: str
    source: str
    where: str
    everywhere: bool


def reasons_for(
    side: Side, aspect: str, said: Mapping[str, Any], region: Node
) -> tuple[Reason, ...]:
    """Return the rules that decide an aspect for the children of a region.

    Where one rule does so for all of them, those that do so for some are left out.

    Parameters
    ----------
    side
        The set, over the region's grid.
    aspect
        "antiseptic", "technique" or "dressing".
    said
        What it answers there.
    region
        Its children.
    """
    if aspect == "technique":
        found = _technique(side, said, region)
    elif aspect == "dressing":
        found = _dressing(side, said, region)
    else:
        found = _antiseptic(side, said, region)
    return tuple(dict.fromkeys(found))


def _antiseptic(side: Side, said: Mapping[str, Any], region: Node) -> Iterator[Reason]:
    order, agent = side.policy.antiseptics, said["agent"]
    before = order[: order.index(agent)] if agent in order else order
    barred = [_bars(side, item, region) for item in before]
    if said["verdict"] == "stop":
        handed = _for_all(those_that_hold(side, side.book.referrals, region))
        for_all = [one for one in handed if one.everywhere]
        is_all_barred = all(any(one.everywhere for one in bars) for bars in barred)
        if for_all or not is_all_barred:
            yield from handed
        if for_all:
            return
    for bars in barred:
        yield from bars
    if agent in side.policy.agents:
        yield _of_rule(side.policy.agents[agent])


def _technique(side: Side, said: Mapping[str, Any], region: Node) -> Iterator[Reason]:
    yield _of_rule(side.policy.agents[said["agent"]])
    if "area_mm" in said:
        yield from those_that_hold(side, side.book.films, region)
    if {"scrub_s", "dry_s"} & set(said):
        yield from those_that_hold(side, side.book.site_rules, region)


def _dressing(side: Side, said: Mapping[str, Any], region: Node) -> Iterator[Reason]:
    order, kind = side.policy.dressings, said["dressing"]
    for item in order[: order.index(kind)] if kind in order else order:
        yield from _bars(side, item, region)
    if kind is not None and "stays_h" in said:
        intervals = side.book.intervals_of("dressing")
        yield from foremost(side, intervals, region, {"dressing": kind})


def _bars(side: Side, item: str, region: Node) -> list[Reason]:
    """Return why an item is barred: what bars it for all, else what does for some."""
    return _for_all(those_that_hold(side, side.book.bars(item), region))


def _for_all(reasons: Iterable[Reason]) -> list[Reason]:
    found = list(reasons)
    return [one for one in found if one.everywhere] or found


def foremost(
    side: Side,
    rules: Sequence[LiveRule[Any]],
    region: Node,
    planned: Mapping[str, str],
) -> list[Reason]:
    """Return the intervals that count: none of higher priority holds for all."""
    held = [
        (live.rule.priority, one)
        for live in rules
        for one in those_that_hold(side, [live], region, planned)
    ]
    most = max((p for p, one in held if one.everywhere), default=0)
    return [one for priority, one in held if priority >= most]


def those_that_hold(
    side: Side,
    rules: Iterable[LiveRule[Rule]],
    region: Node,
    planned: Mapping[str, str] | None = None,
) -> Iterator[Reason]:
    """Yield the rules that hold for some children of a region, or for all."""
    over = side.over
    for live in rules:
        held = over.both(region, side.held.rule(live, planned))
        if held != over.no:
            yield _of_rule(live.rule, everywhere=held == region)


def _of_rule(rule: Rule, *, everywhere: bool = True) -> Reason:
    return Reason(rule.id, rule.because, rule.source, rule.where, everywhere)
