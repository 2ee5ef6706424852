"""Everything in a plan that is the same for all children of one cell."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model.quantities import MM_PER_METRE
from lumenkeep.core.planning.decision import decision
from lumenkeep.core.planning.dressing import DressingCover, bedside_looks
from lumenkeep.core.planning.plan import ChartItem, Dispute, Fired, Remark, Technique
from lumenkeep.core.planning.questions import facts_in_doubt
from lumenkeep.core.planning.remarks import disputes, notes, strangers
from lumenkeep.core.planning.sentence import (
    barred_substances,
    sentence_for_ask,
    sentence_for_plan,
    sentence_for_stop,
)
from lumenkeep.core.planning.verdict import Verdict
from lumenkeep.core.policy import LiveRule, Rule, Truth, keep, whom_to_call
from lumenkeep.core.policy.rules import Staffing
from lumenkeep.core.policy.vocabulary import FACTS

if TYPE_CHECKING:
    from lumenkeep.core.planning.prepared import Prepared
    from lumenkeep.core.policy import Situation


@dataclass(frozen=True, slots=True)
class Skeleton:
    """The answer of one cell, without figures, instants and glove sizes.

    Attributes
    ----------
    cell
        Where among the policy's limits it lies.
    judged
        Whether each exclusion of the book holds.
    blocking, others
        Undecided rules on which the antiseptic depends; undecided rules for which
        the safe side is taken.
    chart
        What is charted of a change, also where nobody should have made one.
    """

    cell: Hashable
    judged: tuple[Truth, ...]
    verdict: Verdict
    way: Technique | None
    cover: DressingCover | None
    blocking: tuple[LiveRule[Rule], ...]
    others: tuple[LiveRule[Rule], ...]
    sentence: str
    call: str | None
    stop_because: tuple[str, ...]
    staffing: Staffing
    staff: int
    masks_within_m: float
    cautions: tuple[Remark, ...]
    looks: tuple[Remark, ...]
    disagreements: tuple[Dispute, ...]
    chart: tuple[ChartItem, ...]
    fired: tuple[Fired, ...]
    undecided: tuple[Fired, ...]

    @property
    def agent(self) -> str | None:
        """The antiseptic to plan with, or to keep to until more is known."""
        return self.verdict.agent or self.verdict.until_known

    def answer(self) -> tuple[str, str | None, str | None, str | None]:
        """Return what a change of the answer is told by."""
        choice = self.verdict.choice
        cover = self.cover.kind if self.cover else None
        return self.verdict.word, choice.first, choice.certain, cover


def skeleton(prepared: Prepared, situation: Situation) -> Skeleton:
    """Return the skeleton of the situation's cell, worked out on first use.

    The situation's ``agent`` and ``dressing`` are set to the ones planned.
    """
    cell = prepared.book.cells.of(situation)
    found: Skeleton | None = prepared.skeletons.get(cell)
    if found is None:
        found = _worked_out(prepared, situation, cell)
        keep(prepared.skeletons, cell, found)
    situation.agent = found.agent
    situation.dressing = found.cover.kind if found.cover else None
    return found


def _worked_out(prepared: Prepared, situation: Situation, cell: Hashable) -> Skeleton:
    book, policy = prepared.book, prepared.book.policy
    decided = decision(prepared, situation)
    judged, verdict = decided.judged, decided.verdict
    way, cover = decided.way, decided.cover
    goes_on = verdict.word != "stop"
    blocking = _unique(
        (book.exclusions[p] for p in verdict.choice.doubts), verdict.may_refer
    )
    others = _unique(
        (book.exclusions[p] for p in decided.films.doubts), decided.open_sites
    )
    staffing = next(
        (s.rule for s in book.staffing if s.when.truth(situation) is not False),
        policy.staffing[0],
    )
    staff = int(book.value(staffing.staff))  # type: ignore[arg-type]  # a count
    radius = float(book.value(staffing.masks_within))  # type: ignore[arg-type]  # a length
    kind = cover.kind if cover else None
    fired, undecided = _took_part(
        prepared, judged, verdict, decided.held_sites, situation
    )
    return Skeleton(
        cell=cell,
        judged=judged,
        verdict=verdict,
        way=way,
        cover=cover,
        blocking=blocking if goes_on else (),
        others=others if goes_on else (),
        sentence=_sentence(
            prepared, situation, verdict, way, kind, staff, blocking, judged
        ),
        call=_call(prepared, situation, verdict),
        stop_because=_stop_because(prepared, verdict, judged),
        staffing=staffing,
        staff=staff,
        masks_within_m=radius / MM_PER_METRE,
        cautions=(*notes(prepared, situation, "caution"), *strangers(situation)),
        looks=(
            *notes(prepared, situation, "look"),
            *bedside_looks(prepared, judged, situation),
        ),
        disagreements=disputes(prepared, situation),
        chart=_to_chart(prepared, situation),
        fired=fired,
        undecided=undecided,
    )


def _unique(*groups: Iterable[LiveRule[Rule]]) -> tuple[LiveRule[Rule], ...]:
    seen: dict[str, LiveRule[Rule]] = {}
    for group in groups:
        for live in group:
            seen.setdefault(live.rule.id, live)
    return tuple(seen.values())


def _sentence(
    prepared: Prepared,
    situation: Situation,
    verdict: Verdict,
    way: Technique | None,
    dressing: str | None,
    staff: int,
    blocking: Sequence[LiveRule[Rule]],
    judged: Sequence[Truth],
) -> str:
    policy = prepared.book.policy
    if verdict.word == "stop":
        return sentence_for_stop(_call(prepared, situation, verdict) or policy.call)
    if verdict.word == "ask" or way is None:
        facts = facts_in_doubt(blocking, situation)
        labels = tuple(FACTS[fact].label for fact in facts)
        return sentence_for_ask(labels, way.label if way else None)
    barred = barred_substances(prepared, way.agent, dressing, judged)
    return sentence_for_plan(way, dressing, staff, barred)


def _call(prepared: Prepared, situation: Situation, verdict: Verdict) -> str | None:
    if verdict.word != "stop":
        return None
    named = (r.rule.call for r in verdict.referring if r.rule.call)
    return next(named, whom_to_call(prepared.book, situation))


def _stop_because(
    prepared: Prepared, verdict: Verdict, judged: Sequence[Truth]
) -> tuple[str, ...]:
    if verdict.word != "stop":
        return ()
    texts = [r.rule.because for r in verdict.referring]
    if verdict.choice.first is None:
        texts.append("Every antiseptic of this policy is barred for this child.")
        agents = prepared.book.policy.antiseptics
        texts += [
            live.rule.because
            for live, truth in zip(prepared.book.exclusions, judged, strict=True)
            if truth is True and any(item in agents for item in live.rule.bars)
        ]
    return tuple(dict.fromkeys(texts))


def _to_chart(prepared: Prepared, situation: Situation) -> tuple[ChartItem, ...]:
    """Return what to chart; a field that may apply is asked for too."""
    fields = zip(prepared.book.chart_fields, prepared.chart_items, strict=True)
    return tuple(
        item for live, item in fields if live.when.truth(situation) is not False
    )


def _took_part(
    prepared: Prepared,
    judged: Sequence[Truth],
    verdict: Verdict,
    sites: Sequence[LiveRule[Rule]],
    situation: Situation,
) -> tuple[tuple[Fired, ...], tuple[Fired, ...]]:
    by_truth: dict[Truth, list[str]] = {True: [], False: [], None: []}
    for live, truth in zip(prepared.book.exclusions, judged, strict=True):
        by_truth[truth].append(live.rule.id)
    held = [*by_truth[True], *(r.rule.id for r in (*verdict.referring, *sites))]
    open_ = [*by_truth[None], *(r.rule.id for r in verdict.may_refer)]
    if situation.agent:
        held.append(situation.agent)
    fired = prepared.fired
    return tuple(fired[i] for i in held), tuple(fired[i] for i in open_)
