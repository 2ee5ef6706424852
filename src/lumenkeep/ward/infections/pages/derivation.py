"""The way to a proposal: rules with evidence, what would change it, what is not known."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.derivation import DECIDED, OTHERWISE
from lumenkeep.text.moments import lower_first

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.outcomes.derivation import DerivationStep, Event
    from lumenkeep.core.outcomes.protocol import Protocol
    from lumenkeep.ward.infections.pages.words import Plain

HOW = {
    "found": "read in a source",
    "partly": "partly read in a source",
    "memory": "not yet checked against the published edition",
}


@dataclass(frozen=True, slots=True)
class DerivationRow:
    """One step: its rule, what it says, and what it rests on, with links to entries."""

    rule: str
    text: str
    said: tuple[str, ...]
    links: tuple[tuple[str, str], ...]
    is_to_confirm: bool


@dataclass(frozen=True, slots=True)
class RuleRow:
    """A rule used: its text in our words, how it is known, and what to confirm."""

    rule: str
    text: str
    how: str
    confirm: str


@dataclass(frozen=True, slots=True)
class Derivation:
    """A derivation in words."""

    steps: tuple[DerivationRow, ...]
    otherwise: tuple[DerivationRow, ...]
    rules: tuple[RuleRow, ...]

    @property
    def to_confirm(self) -> tuple[RuleRow, ...]:
        """The rules that are to be laid beside the edition in force."""
        return tuple(rule for rule in self.rules if rule.confirm)


VERDICT_RULE = "R22"


def derivation_of(
    event: Event,
    protocol: Protocol,
    plain: Plain,
    hrefs: Mapping[int, str],
    *,
    is_open: bool,
) -> Derivation:
    """Return the way to an event.

    Parameters
    ----------
    hrefs
        Where each entry stands, by its id.
    is_open
        Leave the verdict out: a fact that decides it is missing.
    """
    rows = [
        (step, _row(step, protocol, plain, hrefs))
        for step in event.steps
        if not (is_open and step.rule == VERDICT_RULE)
    ]
    return Derivation(
        tuple(row for step, row in rows if step.kind == DECIDED),
        tuple(
            replace(row, text=lower_first(row.text))
            for step, row in rows
            if step.kind == OTHERWISE
        ),
        tuple(_rule(rule, protocol) for rule in sorted(event.rules(), key=_number)),
    )


def _number(rule: str) -> int:
    return int(rule[1:])


def _row(
    step: DerivationStep, protocol: Protocol, plain: Plain, hrefs: Mapping[int, str]
) -> DerivationRow:
    links = tuple(
        (f"entry {name}", hrefs[int(name)])
        for name in step.entries
        if int(name) in hrefs
    )
    said = tuple(plain(text) for text in step.evidence)
    confirm = protocol.rules[step.rule].to_confirm is not None
    return DerivationRow(step.rule, plain(step.text), said, links, confirm)


def _rule(name: str, protocol: Protocol) -> RuleRow:
    rule = protocol.rules[name]
    confirm = ""
    if rule.to_confirm is not None:
        confirm = rule.confirm or "all of it"
    return RuleRow(name, rule.text, HOW.get(rule.how, rule.how), confirm)
