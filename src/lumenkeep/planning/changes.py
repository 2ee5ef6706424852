"""When the answer will change: by itself, or once something is charted."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from lumenkeep.model import CalendarSpan, Elapsed
from lumenkeep.planning.choose import choose, judge
from lumenkeep.planning.plan import Later

if TYPE_CHECKING:
    from lumenkeep.planning.prepared import Prepared
    from lumenkeep.policy import LiveComparison, LiveRule, Situation, Truth
    from lumenkeep.policy.rules import Exclusion

ENDED_BY_TIME = ("below", "at_most")


def changes_later(
    prepared: Prepared, situation: Situation, judged: Sequence[Truth]
) -> tuple[Later, ...]:
    """Return what will change, the soonest first; what waits for a chart entry last.

    Parameters
    ----------
    prepared
        The day's rules.
    situation
        Facts at the plan's instant.
    judged
        Whether each exclusion holds at that instant.
    """
    if True not in judged and None not in judged and not _young(prepared, situation):
        return ()
    timed: dict[datetime, list[str]] = {}
    charted: list[Later] = []
    policy = prepared.book.policy
    for position, live in enumerate(prepared.book.exclusions):
        if judged[position] is False or not _concerns(live, policy.antiseptics):
            continue
        at = _ends_at(live, situation)
        if at is not None and at > situation.at:
            timed.setdefault(at, []).append(_ending(live, judged[position]))
        elif judged[position] is True:
            charted += _ends_when(prepared, live, situation)
    found = []
    previous = _answer(prepared, situation, judged)
    for instant in sorted({*timed, *_crossings(prepared, situation)}):
        later = situation.later(instant)
        then = judge(prepared, later)
        answer = _answer(prepared, later, then)
        texts = timed.get(instant, [])
        if answer != previous:
            texts = [*texts, _becomes(prepared, answer)]
        elif texts:
            texts = [*texts, _still(prepared, answer, then)]
        previous = answer
        found += [Later(what=" ".join(text for text in texts if text), at=instant)] * (
            1 if texts else 0
        )
    return (*found, *charted)


def _young(prepared: Prepared, situation: Situation) -> bool:
    return bool(_crossings(prepared, situation))


def _concerns(live: LiveRule[Exclusion], items: Sequence[str]) -> bool:
    return any(item in items for item in live.rule.bars)


def _crossings(prepared: Prepared, situation: Situation) -> set[datetime]:
    """Return the later instants at which age crosses a limit of the policy."""
    if situation.age_low is None:
        return set()
    found = set()
    for live in (*prepared.book.exclusions, *prepared.book.referrals):
        for row in live.when.rows:
            for comparison in row:
                reached = _reached(comparison, situation)
                if reached is not None and reached > situation.at:
                    found.add(reached)
    return found


def _reached(comparison: LiveComparison, situation: Situation) -> datetime | None:
    limit = comparison.limit
    if not isinstance(limit, Elapsed | CalendarSpan):
        return None
    surely, _ = situation.age_against(limit) or (True, True)
    if surely:
        return None
    reached = situation.reaches(limit)
    return reached[1] if reached else None


def _ends_at(live: LiveRule[Exclusion], situation: Situation) -> datetime | None:
    """Return when age alone ends the rule: every row that may hold must have ended."""
    ends = []
    for row in live.when.rows:
        if any(c.truth(situation) is False for c in row):
            continue
        rows_ends = [
            reached
            for c in row
            if c.test in ENDED_BY_TIME
            and (reached := _reached(c, situation)) is not None
        ]
        if not rows_ends:
            return None
        ends.append(min(rows_ends))
    return max(ends) if ends else None


def _ends_when(
    prepared: Prepared, live: LiveRule[Exclusion], situation: Situation
) -> list[Later]:
    """Return what must be charted for the rule to end."""
    what = f"“{live.rule.because}” then no longer holds."
    if live.rule.lifts:
        return [Later(what=what, when=live.rule.lifts)]
    row = live.when.holding_row(situation) or ()
    return [
        Later(
            what=what,
            when=f"a mass of {prepared.book.words(c.number)} or more is charted",
        )
        for c in row
        if c.fact == "mass" and c.test == "below" and c.number
    ]


def _ending(live: LiveRule[Exclusion], truth: Truth) -> str:
    if truth is None:
        return f"“{live.rule.because}” is then settled: it no longer holds."
    return f"“{live.rule.because}” no longer holds."


def _answer(
    prepared: Prepared, situation: Situation, judged: Sequence[Truth]
) -> tuple[bool, str | None, str | None, str | None]:
    policy = prepared.book.policy
    refer = any(r.when.truth(situation) is True for r in prepared.book.referrals)
    agent = choose(prepared, judged, policy.antiseptics)
    dressing = choose(prepared, judged, policy.dressings)
    return refer, agent.first, agent.certain, dressing.certain


def _becomes(
    prepared: Prepared, answer: tuple[bool, str | None, str | None, str | None]
) -> str:
    refer, first, certain, dressing = answer
    if refer or first is None:
        return "From then a person must decide."
    from lumenkeep.model.words import DRESSINGS

    label = prepared.book.policy.agents[first].label
    cover = f", under: {DRESSINGS[dressing].lower()}" if dressing else ""
    if first != certain:
        return f"From then {label.lower()} may be possible; more must be known."
    return f"From then: {label.lower()}{cover}, if nothing else has changed."


def _still(
    prepared: Prepared,
    answer: tuple[bool, str | None, str | None, str | None],
    judged: Sequence[Truth],
) -> str:
    """Return why the answer stays as it is although a rule has ended."""
    del answer
    policy = prepared.book.policy
    left = [
        f"“{live.rule.because}”"
        for position, live in enumerate(prepared.book.exclusions)
        if judged[position] is True and policy.antiseptics[0] in live.rule.bars
    ]
    return f"Still in the way: {' '.join(left)}" if left else ""
