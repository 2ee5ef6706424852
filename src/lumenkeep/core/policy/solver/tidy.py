"""What makes a set untidy without a child to show it: sources nobody cites."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.core.policy.policy import Policy
    from lumenkeep.core.policy.rules import Rule

Untidy = tuple[str, tuple["Rule", ...], str]


def untidy(policy: Policy) -> Iterator[Untidy]:
    """Yield each source that the set itself states and nothing cites."""
    cited = {rule.source for rule in policy.every_rule()}
    cited |= {p.source for d in policy.disagreements for p in d.positions}
    cited |= {v.source for n in policy.numbers.values() for v in n.values}
    for source in policy.sources.values():
        if source.id not in cited and source.id in policy.own_sources:
            yield (
                f"Source '{source.id}' is cited by no rule and no number.",
                (),
                f"cite it, or take [source.{source.id}] out",
            )
