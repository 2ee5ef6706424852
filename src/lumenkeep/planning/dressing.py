"""Which dressing goes on, and how long it may stay."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.model.words import DRESSINGS
from lumenkeep.planning.choose import Choice
from lumenkeep.planning.plan import NewDressing, Remark
from lumenkeep.policy import window_for

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.planning.prepared import Prepared
    from lumenkeep.policy import Situation, Truth


def new_dressing(
    prepared: Prepared, choice: Choice, situation: Situation
) -> NewDressing | None:
    """Return the dressing that surely suits, and its stay; None when none does.

    The situation's ``dressing`` is set to it, so that later rules can speak of it.
    """
    kind = choice.certain
    if kind is None:
        return None
    situation.dressing = kind
    book = prepared.book
    window = window_for(book, situation, "dressing")
    stays = window.not_after if window else None
    rule = window.rules[0] if window else None
    return NewDressing(
        kind=kind,
        label=DRESSINGS[kind],
        stays_h=stays.nominal_hours() if stays else None,
        stays_words=f"{stays} at most" if stays else "until it fails; look every day",
        next_due=stays.after(situation.at, situation.zone) if stays else None,
        rule=rule.id if rule else "",
        source=rule.source if rule else "",
    )


def bedside_looks(
    prepared: Prepared,
    judged: Sequence[Truth],
    order: Sequence[str],
    chosen: str | None,
) -> tuple[Remark, ...]:
    """Return what only the bared site can show, and what to do if it does.

    These rules are undecided and marked "look" in the policy: the plan goes on, and
    says which dressing to have ready.
    """
    found = []
    for position, live in enumerate(prepared.book.exclusions):
        rule = live.rule
        if (
            judged[position] is not None
            or rule.if_unknown != "look"
            or chosen not in rule.bars
        ):
            continue
        instead = next(
            (
                item
                for item in order
                if item not in rule.bars
                and all(
                    judged[p] is False or p == position
                    for p in prepared.barred_by.get(item, ())
                )
            ),
            None,
        )
        have = f" Have ready: {DRESSINGS[instead].lower()}." if instead else ""
        text = f"When the old dressing is off, look. {rule.because}{have}"
        found.append(Remark(text, rule.id, rule.source))
    return tuple(found)
