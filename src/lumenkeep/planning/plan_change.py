"""Decide one dressing change for one child at one instant.

Order of thought: which agents nothing bars, whether a person must decide, then
technique, dressing, supplies and people, and last what to say about it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from lumenkeep.model import Case
from lumenkeep.model.quantities import MM_PER_METRE
from lumenkeep.planning.changes import changes_later
from lumenkeep.planning.choose import Choice, choose, excluded, judge
from lumenkeep.planning.dressing import bedside_looks, new_dressing
from lumenkeep.planning.people import glove_sizes, roles
from lumenkeep.planning.plan import Dispute, Fired, Plan, Remark
from lumenkeep.planning.prepared import PLANNED_FACTS, Prepared, prepare
from lumenkeep.planning.questions import questions
from lumenkeep.planning.sentence import (
    sentence_for_ask,
    sentence_for_plan,
    sentence_for_stop,
)
from lumenkeep.planning.supplies import supplies
from lumenkeep.planning.technique import site_rules_that_may_apply, technique
from lumenkeep.policy import LiveRule, Policy, Rule, Situation, Truth, narrowed
from lumenkeep.policy.vocabulary import FACTS

if TYPE_CHECKING:
    from lumenkeep.policy.rules import Referral

SHOWN_UNDECIDED = " (shown because what would settle it is not known)"


def plan_change(case: Case, at: datetime, policy: Policy) -> Plan:
    """Return the change plan for one case at one instant.

    Parameters
    ----------
    case
        Child, line and people; anything may be unknown.
    at
        Instant the plan is for (UTC).
    policy
        The set in force.

    Returns
    -------
    Plan
        Verdict ``plan`` only where no completion of the unknown facts would bar
        the antiseptic named.

    Raises
    ------
    NoRuleError
        A number of the policy is not yet in force on that day.
    RuleConflictError
        Two intervals of equal priority both apply.
    """
    prepared = prepare(policy.on(at.astimezone(case.zone).date()))
    situation = narrowed(Situation(case, at), prepared.book)
    judged = judge(prepared, situation)
    verdict = _decide(prepared, situation, judged)
    situation.agent = verdict.agent or verdict.until_known
    return _written(prepared, situation, judged, verdict)


@dataclass(frozen=True, slots=True)
class _Verdict:
    word: str
    choice: Choice
    referring: tuple[LiveRule[Referral], ...]
    may_refer: tuple[LiveRule[Referral], ...]

    @property
    def agent(self) -> str | None:
        return self.choice.certain if self.word == "plan" else None

    @property
    def until_known(self) -> str | None:
        if self.word != "ask" or self.may_refer:
            return None
        return self.choice.certain


def _decide(
    prepared: Prepared, situation: Situation, judged: Sequence[Truth]
) -> _Verdict:
    choice = choose(prepared, judged, prepared.book.policy.antiseptics)
    asked = [(r, r.when.truth(situation)) for r in prepared.book.referrals]
    referring = tuple(r for r, truth in asked if truth is True)
    may_refer = tuple(r for r, truth in asked if truth is None)
    if referring or choice.first is None:
        word = "stop"
    elif may_refer or not choice.is_decided:
        word = "ask"
    else:
        word = "plan"
    return _Verdict(word, choice, referring, may_refer)


def _written(
    prepared: Prepared,
    situation: Situation,
    judged: Sequence[Truth],
    verdict: _Verdict,
) -> Plan:
    book, policy = prepared.book, prepared.book.policy
    sizes = glove_sizes(situation.case)
    held_sites, open_sites = site_rules_that_may_apply(book, situation)
    agent = situation.agent
    way = technique(book, agent, [*held_sites, *open_sites]) if agent else None
    films = choose(prepared, judged, policy.dressings)
    goes_on = verdict.word != "stop"
    cover = new_dressing(prepared, films, situation) if goes_on else None
    exclusions = book.exclusions
    blocking = _unique(
        [exclusions[p] for p in verdict.choice.doubts] if goes_on else [],
        verdict.may_refer if goes_on else (),
    )
    others = _unique([exclusions[p] for p in films.doubts] if goes_on else [], open_sites)
    asked = questions(blocking, others, situation)
    barred = excluded(prepared, judged, policy.antiseptics, situation)
    kept_off = excluded(
        prepared, judged, (*policy.dressings, *prepared.baths), situation
    )
    staffing = next(
        (s.rule for s in book.staffing if s.when.truth(situation) is not False),
        policy.staffing[0],
    )
    staff = int(book.value(staffing.staff))  # type: ignore[arg-type]  # a count
    radius = float(book.value(staffing.masks_within)) / MM_PER_METRE  # type: ignore[arg-type]  # a length
    call = _call(policy, verdict)
    if verdict.word == "stop":
        sentence = sentence_for_stop(policy, call or policy.call)
    elif verdict.word == "ask":
        sentence = sentence_for_ask(
            tuple(FACTS[q.fact].label for q in asked if q.blocks),
            policy.agents[agent].label if agent else None,
        )
    else:
        tried = tuple(dict.fromkeys(e.item for e in barred))
        assert way is not None  # noqa: S101  a plan has an agent
        sentence = sentence_for_plan(
            way,
            cover.kind if cover else None,
            staff,
            tuple(
                policy.agents[a].label
                for a in tried
                if policy.antiseptics.index(a) < policy.antiseptics.index(way.agent)
            ),
        )
    fired, undecided = _took_part(prepared, situation, judged, verdict, held_sites)
    return Plan(
        at=situation.at,
        verdict=verdict.word,
        sentence=sentence,
        antiseptic=way if verdict.word == "plan" else None,
        until_known=verdict.until_known,
        dressing=cover,
        excluded=barred,
        not_for_this_child=kept_off,
        questions=asked,
        changes_later=changes_later(prepared, situation, judged),
        supplies=supplies(prepared, situation, sizes) if goes_on else (),
        staff=staff,
        masks_within_m=radius,
        roles=roles(staffing, sizes),
        cautions=(*_notes(prepared, situation, "caution"), *_strangers(situation)),
        looks=(
            *_notes(prepared, situation, "look"),
            *bedside_looks(
                prepared, judged, policy.dressings, cover.kind if cover else None
            ),
        ),
        disagreements=_disputes(prepared, situation),
        chart=prepared.chart if goes_on else (),
        call=call,
        stop_because=_stop_because(verdict, barred) if not goes_on else (),
        fired=fired,
        undecided=undecided,
        policy_set=policy.id,
        policy_title=policy.title,
        policy_version=policy.version,
    )


def _unique(*groups: Sequence[LiveRule[Rule]]) -> list[LiveRule[Rule]]:
    seen: dict[str, LiveRule[Rule]] = {}
    for group in groups:
        for live in group:
            seen.setdefault(live.rule.id, live)
    return list(seen.values())


def _call(policy: Policy, verdict: _Verdict) -> str | None:
    if verdict.word != "stop":
        return None
    named = (r.rule.call for r in verdict.referring if r.rule.call)
    return next(named, policy.call)


def _stop_because(verdict: _Verdict, barred: tuple[object, ...]) -> tuple[str, ...]:
    texts = [r.rule.because for r in verdict.referring]
    if verdict.choice.first is None:
        texts.append("Every antiseptic of this policy is barred for this child.")
        texts += [e.because for e in barred if hasattr(e, "because")]
    return tuple(dict.fromkeys(texts))


def _notes(prepared: Prepared, situation: Situation, kind: str) -> list[Remark]:
    found = []
    for live, remark in zip(prepared.book.notes, prepared.remarks, strict=True):
        if live.rule.kind != kind:
            continue
        truth = live.when.truth(situation)
        if truth is True:
            found.append(remark)
        elif truth is None and _open_beyond_plan(live, situation):
            text = remark.text + SHOWN_UNDECIDED
            found.append(Remark(text, remark.rule, remark.source))
    return found


def _strangers(situation: Situation) -> list[Remark]:
    allowed = FACTS["sensitivities"].allowed or {}
    strange = sorted(set(situation.sensitivities or ()) - set(allowed))
    return [
        Remark(
            f"The policy has no rule for the sensitivity '{word}': "
            "check every product by hand.",
            "",
            "",
        )
        for word in strange
    ]


def _disputes(prepared: Prepared, situation: Situation) -> tuple[Dispute, ...]:
    found = []
    for live, dispute in zip(
        prepared.book.disagreements, prepared.disputes, strict=True
    ):
        truth = live.when.truth(situation)
        if truth is True or (truth is None and _open_beyond_plan(live, situation)):
            found.append(dispute)
    return tuple(found)


def _open_beyond_plan(live: LiveRule[Rule], situation: Situation) -> bool:
    """Return whether the case, and not only the plan's own choices, is unknown."""
    return situation.agent is None or any(
        c.fact not in PLANNED_FACTS for c in live.when.undecided(situation)
    )


def _took_part(
    prepared: Prepared,
    situation: Situation,
    judged: Sequence[Truth],
    verdict: _Verdict,
    sites: Sequence[LiveRule[Rule]],
) -> tuple[tuple[Fired, ...], tuple[Fired, ...]]:
    held, open_ = [], []
    for position, live in enumerate(prepared.book.exclusions):
        if judged[position] is True:
            held.append(prepared.fired[live.rule.id])
        elif judged[position] is None:
            open_.append(prepared.fired[live.rule.id])
    held += [prepared.fired[r.rule.id] for r in (*verdict.referring, *sites)]
    open_ += [prepared.fired[r.rule.id] for r in verdict.may_refer]
    if situation.agent:
        held.append(prepared.fired[situation.agent])
    return tuple(held), tuple(open_)
