"""Line rounds of the demo: the unit's own see little amiss, outsiders see more.

Told from a seed of its own, so the rest of the hospital stays as it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from random import Random
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.rounds.look import DOES_NOT_APPLY, KEPT, NOT_KEPT, NOT_SEEN
from lumenkeep.demo.hospital import staff_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.round_rules import RoundItem

DAYS = 60
SHARE_OF_DAYS = 0.45
LINES_A_WALK = 4
FROM_OUTSIDE = 0.3
TWO_TOGETHER = 0.25
AMISS = {True: 0.06, False: 0.2}
"""How often an item is found amiss, by whether the observer is the unit's own."""
UNSEEN_WORK = 0.7
EDUCATOR = "s-agate"


@dataclass(frozen=True, slots=True)
class ToldLook:
    """One look of the demo."""

    ward: str
    line: str
    at: datetime
    observer: str
    from_unit: bool
    answers: Mapping[str, str]
    observed: str | None


def tell_rounds(
    seed: str, entries: Sequence[Entry], policy: Policy, now: datetime
) -> list[ToldLook]:
    """Return the looks of the last two months, oldest first."""
    rng = Random(f"{seed}/rounds")  # noqa: S311
    # What is asked of some children only is left out; a port is rare enough here.
    items = [item for item in policy.round_items if item.id != "bathed"]
    places = list(_places(entries, now))
    told: list[ToldLook] = []
    for ago in range(DAYS, -1, -1):
        for ward in sorted({ward for _, ward, _ in places}):
            if rng.random() > SHARE_OF_DAYS:
                continue
            at = now - timedelta(days=ago, minutes=rng.randrange(20, 300))
            there = [line for line, on, since in places if on == ward and since < at]
            walked = rng.sample(there, min(LINES_A_WALK, len(there)))
            told += _walk(rng, items, ward, walked, at)
    return sorted(told, key=lambda look: look.at)


def _places(
    entries: Sequence[Entry], now: datetime
) -> Iterator[tuple[str, str, datetime]]:
    """Yield the lines still in place, their ward, and since when both are so."""
    stays = {e.child: e for e in entries if e.kind == "stay"}
    out = {e.line for e in entries if e.kind == "line-removed"}
    for entry in entries:
        stay = stays.get(entry.child)
        is_in = entry.kind == "line-inserted" and entry.line not in out
        if is_in and stay is not None and stay.body.get("ward") and entry.line:
            since = max(entry.happened_at, stay.happened_at)
            if since < now:
                yield entry.line, str(stay.body["ward"]), since


def _walk(
    rng: Random,
    items: Sequence[RoundItem],
    ward: str,
    lines: Sequence[str],
    at: datetime,
) -> Iterator[ToldLook]:
    own = staff_of(ward)
    is_outside = rng.random() < FROM_OUTSIDE
    observer = EDUCATOR if is_outside else rng.choice(own)
    has_second = rng.random() < TWO_TOGETHER
    for place, line in enumerate(lines):
        truth = {item.id: rng.random() for item in items}
        watched = rng.choice([*own, None, None])
        seen = ToldLook(
            ward=ward,
            line=line,
            at=at + timedelta(minutes=2 * place),
            observer=observer,
            from_unit=not is_outside,
            answers={},
            observed=watched if watched != observer else None,
        )
        yield _answered(rng, items, truth, seen)
        if has_second:
            second = replace(
                seen,
                at=seen.at + timedelta(minutes=4),
                observer=rng.choice([one for one in own if one != observer]),
                from_unit=True,
                observed=None,
            )
            yield _answered(rng, items, truth, second)


def _answered(
    rng: Random,
    items: Sequence[RoundItem],
    truth: Mapping[str, float],
    empty: ToldLook,
) -> ToldLook:
    answers = {}
    for item in items:
        if item.watched and rng.random() < UNSEEN_WORK:
            answers[item.id] = NOT_SEEN
        elif item.may_not_apply and truth[item.id] > 1 - AMISS[True]:
            answers[item.id] = DOES_NOT_APPLY
        else:
            is_amiss = truth[item.id] < AMISS[empty.from_unit]
            answers[item.id] = NOT_KEPT if is_amiss else KEPT
    return replace(empty, answers=answers)
