"""What a plan says of each rule whatever the child, made once for a rule book."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model.words import DRESSINGS
from lumenkeep.core.planning.plan import ChartItem, Dispute, Fired, Remark, Stance
from lumenkeep.core.policy import BOOKS_KEPT, turning_ages

if TYPE_CHECKING:
    from collections.abc import Hashable

    from lumenkeep.core.policy import Rule, RuleBook
    from lumenkeep.core.policy.rules import ChartField, Disagreement


class Prepared:
    """Texts and values that do not depend on the child.

    Attributes
    ----------
    fired
        What to show for each rule that takes part in an answer, by rule id.
    remarks, disputes, chart_items
        Notes, disagreements and what is charted, in the order of the book's.
    barred_by
        For each item, the positions of the book's exclusions that can bar it.
    bar_agents
        Positions of the exclusions that can bar an antiseptic.
    turning_ages
        Every age at which an exclusion or referral may begin or end.
    other_products
        The dressings, and the baths that rules bar.
    skeletons, layouts
        What has been worked out so far, by the cell of the policy.
    """

    def __init__(self, book: RuleBook) -> None:
        self.book = book
        self.fired = {r.id: self._fired(r) for r in book.policy.every_rule()}
        self.remarks = tuple(
            Remark(_with_source(book, n.rule), n.rule.id, n.rule.source)
            for n in book.notes
        )
        self.disputes = tuple(self._dispute(d.rule) for d in book.disagreements)
        self.chart_items = tuple(self._chart_item(f.rule) for f in book.chart_fields)
        items = {item for e in book.exclusions for item in e.rule.bars}
        self.barred_by: dict[str, tuple[int, ...]] = {
            item: tuple(
                position
                for position, e in enumerate(book.exclusions)
                if item in e.rule.bars
            )
            for item in items
        }
        agents = set(book.policy.antiseptics)
        self.bar_agents = tuple(
            position
            for position, e in enumerate(book.exclusions)
            if agents & set(e.rule.bars)
        )
        self.turning_ages = turning_ages(book)
        self.other_products = (
            *book.policy.dressings,
            *sorted(items - set(book.policy.agents) - set(DRESSINGS)),
        )
        self.skeletons: dict[Hashable, Any] = {}
        self.layouts: dict[Hashable, Any] = {}

    def _fired(self, rule: Rule) -> Fired:
        source = self.book.policy.sources.get(rule.source)
        return Fired(
            rule=rule.id,
            because=rule.because,
            source=rule.source,
            source_title=source.title if source else rule.source,
            how=rule.how or (source.how if source else "memory"),
            where=rule.where,
        )

    def _dispute(self, rule: Disagreement) -> Dispute:
        sources = self.book.policy.sources
        return Dispute(
            id=rule.id,
            topic=rule.topic,
            because=rule.because,
            about=rule.about,
            positions=tuple(
                Stance(p.source, sources[p.source].title, p.says)
                for p in rule.positions
            ),
        )

    def _chart_item(self, rule: ChartField) -> ChartItem:
        return ChartItem(
            id=rule.id,
            label=rule.label,
            kind=rule.kind,
            required=rule.required,
            low=float(self.book.value(rule.low)) if rule.low else None,  # type: ignore[arg-type]  # never a time
            high=float(self.book.value(rule.high)) if rule.high else None,  # type: ignore[arg-type]  # never a time
            choices=rule.choices,
            because=rule.because,
        )


def _with_source(book: RuleBook, rule: Rule) -> str:
    source = book.policy.sources.get(rule.source)
    if source is None or source.id == "common-practice":
        return rule.because
    year = f", {source.year}" if source.year else ""
    confirm = ""
    if (rule.how or source.how) == "memory":
        confirm = "; to be confirmed against the edition in force"
    return f"{rule.because} ({source.id}{year}{confirm})"


@lru_cache(maxsize=BOOKS_KEPT)
def prepare(book: RuleBook) -> Prepared:
    """Return what is prepared for a book, made on first use."""
    return Prepared(book)
