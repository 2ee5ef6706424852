"""Which dressing goes on, how long it may stay, and what only the bare site shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.core.model import Span
from lumenkeep.core.model.words import DRESSINGS
from lumenkeep.core.planning.plan import NewDressing, Remark
from lumenkeep.core.policy import whom_to_call, window_for

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.planning.choose import Choice
    from lumenkeep.core.planning.prepared import Prepared
    from lumenkeep.core.policy import Situation, Truth


@dataclass(frozen=True, slots=True)
class DressingCover:
    """The dressing chosen for a cell and the longest it may stay (None: until it fails)."""

    kind: str
    stays: Span | None
    stays_words: str
    rule: str
    source: str


def cover_for(
    prepared: Prepared, choice: Choice, situation: Situation
) -> DressingCover | None:
    """Return the dressing that surely suits; None when none does.

    The situation's ``dressing`` is set to it, so that later rules can speak of it.
    """
    kind = choice.certain
    if kind is None:
        return None
    situation.dressing = kind
    window = window_for(prepared.book, situation, "dressing")
    stays = window.not_after if window else None
    rule = next(iter(window.counted), None) if window else None
    words = f"{stays} at most" if stays else "until it fails; look every day"
    return DressingCover(
        kind, stays, words, rule.id if rule else "", rule.source if rule else ""
    )


def new_dressing(cover: DressingCover, situation: Situation) -> NewDressing:
    """Return the dressing with the instant it falls due if put on now."""
    stays = cover.stays
    return NewDressing(
        kind=cover.kind,
        label=DRESSINGS[cover.kind],
        stays_h=stays.nominal_hours() if stays else None,
        stays_words=cover.stays_words,
        next_due=stays.after(situation.at, situation.zone) if stays else None,
        rule=cover.rule,
        source=cover.source,
    )


def bedside_looks(
    prepared: Prepared, judged: Sequence[Truth], situation: Situation
) -> tuple[Remark, ...]:
    """Return what only the bared site can show, and what to do if it does.

    These rules are undecided and marked "look" in the policy: the plan goes on, and
    says which dressing to have ready instead.
    """
    policy = prepared.book.policy
    found = []
    for position, live in enumerate(prepared.book.exclusions):
        rule = live.rule
        if judged[position] is not None or rule.if_unknown != "look":
            continue
        if situation.dressing in rule.bars:
            ready = _instead(prepared, judged, rule.bars, policy.dressings)
            text = f"When the old dressing is off, look. {rule.because}"
            if ready:
                text += f" Have ready: {DRESSINGS[ready].lower()}."
            else:
                who = whom_to_call(prepared.book, situation)
                text += f" If so, call {who}."
            found.append(Remark(text, rule.id, rule.source))
    return tuple(found)


def _instead(
    prepared: Prepared,
    judged: Sequence[Truth],
    bars: Sequence[str],
    order: Sequence[str],
) -> str | None:
    """Return the first item that is surely not barred and would not be."""
    return next(
        (
            item
            for item in order
            if item not in bars
            and all(judged[p] is False for p in prepared.barred_by.get(item, ()))
        ),
        None,
    )
