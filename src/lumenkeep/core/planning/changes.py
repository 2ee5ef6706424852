"""When the answer will change: by itself, or once something is charted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model import CalendarSpan, Elapsed
from lumenkeep.core.model.words import DRESSINGS
from lumenkeep.core.planning.plan import Later
from lumenkeep.core.planning.skeleton import Skeleton, skeleton
from lumenkeep.core.policy import mass_counts_until, narrowed

if TYPE_CHECKING:
    from datetime import datetime

    from lumenkeep.core.planning.prepared import Prepared
    from lumenkeep.core.policy import LiveRule, Situation, Truth
    from lumenkeep.core.policy.rules import Exclusion


def changes_later(
    prepared: Prepared, situation: Situation, bones: Skeleton
) -> tuple[Later, ...]:
    """Return what will change, the soonest first; what waits for a chart entry last.

    Parameters
    ----------
    prepared
        The day's rules.
    situation
        Facts at the plan's instant.
    bones
        The answer at that instant.
    """
    crossings = _crossings(prepared, situation)
    timed, charted = _ends(prepared, situation, bones)
    found = []
    previous = bones
    for instant in sorted({*timed, *crossings}):
        then = skeleton(prepared, narrowed(situation.later(instant), prepared.book))
        texts = timed.get(instant, [])
        if then.answer() != previous.answer():
            texts = [*texts, _becomes(prepared, then)]
        elif texts:
            texts = [*texts, *_still(prepared, then)]
        if texts:
            found.append(Later(what=" ".join(texts), at=instant))
        previous = then
    return (*found, *charted)


def _ends(
    prepared: Prepared, situation: Situation, bones: Skeleton
) -> tuple[dict[datetime, list[str]], list[Later]]:
    """Return the antiseptic's exclusions that end by age, and those that wait."""
    timed: dict[datetime, list[str]] = {}
    charted: list[Later] = []
    for position in prepared.bar_agents:
        truth = bones.judged[position]
        if truth is False:
            continue
        live = prepared.book.exclusions[position]
        at = _ends_at(live, situation)
        if at is not None and at > situation.at:
            timed.setdefault(at, []).append(_ending(live, truth))
        elif truth is True:
            charted += _ends_when(prepared, live, situation)
    return timed, charted


def _crossings(prepared: Prepared, situation: Situation) -> set[datetime]:
    """Return the later instants at which age crosses a limit of the policy.

    Of a birth date without a time both ends of the day count: from the first the
    limit may be reached, from the second it is.
    """
    found: set[datetime] = set()
    for limit in prepared.turning_ages:
        if _reached(limit, situation) is not None:
            found.update(situation.reaches(limit) or ())
    until = mass_counts_until(situation, prepared.book)
    found |= set() if until is None else {until}
    return {instant for instant in found if instant > situation.at}


def _reached(limit: object, situation: Situation) -> datetime | None:
    """Return when age will surely have reached ``limit``; None when it has."""
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
        row_ends = [
            reached
            for c in row
            if c.test == "below"
            and (reached := _reached(c.limit, situation)) is not None
        ]
        if not row_ends:
            return None
        ends.append(min(row_ends))
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


def _becomes(prepared: Prepared, then: Skeleton) -> str:
    word, first, certain, dressing = then.answer()
    if word == "stop" or first is None:
        return "From then a person must decide."
    label = prepared.book.policy.agents[first].label.lower()
    if word == "ask" or first != certain:
        return f"From then {label} may be possible; more must be known."
    cover = f", under: {DRESSINGS[dressing].lower()}" if dressing else ""
    return f"From then: {label}{cover}, if nothing else has changed."


def _still(prepared: Prepared, then: Skeleton) -> list[str]:
    """Return why the answer stays as it is although a rule has ended."""
    foremost = prepared.book.policy.antiseptics[0]
    left = [
        f"“{live.rule.because}”"
        for live, truth in zip(prepared.book.exclusions, then.judged, strict=True)
        if truth is True and foremost in live.rule.bars
    ]
    return [f"Still in the way: {' '.join(left)}"] if left else []
