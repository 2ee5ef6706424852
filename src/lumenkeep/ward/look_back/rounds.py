"""The section on line rounds: how often each item was kept, by who looked."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from lumenkeep.drawing import Share
from lumenkeep.errors import PolicyError
from lumenkeep.text.moments import plain_day
from lumenkeep.text.shares import share_span
from lumenkeep.ward.look_back.parts import (
    Elsewhere,
    LookFigure,
    LookPicture,
    LookSection,
    shares_drawing,
)
from lumenkeep.ward.rounds.results import RoundResults, round_results

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.core.outcomes.rounds.keeping import BundleShare, ItemShare, Keeping
    from lumenkeep.core.outcomes.rounds.look import LineLook
    from lumenkeep.ward.look_back.request import LookBackRequest
    from lumenkeep.ward.rounds.repository import RoundRepository

PORT = "rounds"
WHO = {True: "people of the unit", False: "people from outside"}


def round_sections(asked: LookBackRequest) -> tuple[LookSection, ...]:
    """Return what the rounds saw, unit and outsiders apart; none without the port."""
    if PORT not in asked.sources.more:
        return ()
    book = cast("RoundRepository", asked.sources.more[PORT])
    ward = asked.ward
    try:
        policy = asked.sources.policies.in_force(ward.policy_set, ward.key)
    except PolicyError:
        return ()
    found = round_results(book, policy, ward, asked.first, asked.last)
    return (
        LookSection(
            "rounds",
            "What the line rounds saw",
            _sentence(found),
            tuple(
                figure
                for keeping in found.keepings
                for figure in _figures(asked, found, keeping)
            ),
            tuple(_picture(found, keeping) for keeping in found.keepings),
            _lines(found),
            _unknown(found),
        ),
    )


def _sentence(found: RoundResults) -> str:
    told = [
        f"{WHO[keeping.from_unit]} saw every item that can be seen at any time in "
        f"place on {_span(keeping.standing)} of "
        f"{_counted(keeping.standing.looks, 'look')}"
        for keeping in found.keepings
        if keeping.standing.span is not None
    ]
    if not told:
        return "No line was looked at on a round."
    sentence = "; ".join(told)
    return f"{sentence[0].upper()}{sentence[1:]}."


def _counted(number: int, thing: str) -> str:
    return f"{number:,} {thing if number == 1 else f'{thing}s'}"


def _span(share: BundleShare) -> str:
    return share_span(*(share.span or (0.0, 1.0)))


def _figures(
    asked: LookBackRequest, found: RoundResults, keeping: Keeping
) -> list[LookFigure]:
    who = "unit" if keeping.from_unit else "outside"
    looks = [one for one in found.looks if one.from_unit == keeping.from_unit]
    limits = keeping.standing.limits
    sure = ""
    if limits is not None:
        high = 1.0 if limits.high is None else limits.high
        sure = f"95 % limits {share_span(limits.low or 0.0, high)}."
    return [
        LookFigure(
            f"looks-{who}",
            f"Looks by {WHO[keeping.from_unit]}",
            f"{keeping.looks:,}",
            f"At {_counted(keeping.lines, 'line')}.",
            elsewhere=_behind(asked, looks),
        ),
        LookFigure(
            f"bundle-{who}",
            f"All in place, seen by {WHO[keeping.from_unit]}",
            _span(keeping.standing),
            sure,
            elsewhere=_behind(asked, looks),
        ),
    ]


def _behind(asked: LookBackRequest, looks: Iterable[LineLook]) -> tuple[Elsewhere, ...]:
    """Return the looks; who looked, or was watched, is not among it."""
    zone = asked.ward.zone
    return tuple(
        Elsewhere(
            "round",
            str(look.id),
            f"look {look.id} of {plain_day(look.at.astimezone(zone).date())}",
        )
        for look in looks
    )


def _picture(found: RoundResults, keeping: Keeping) -> LookPicture:
    who = "unit" if keeping.from_unit else "outside"
    shares = tuple(_row(found.labels[item.item], item) for item in keeping.items)
    measured = "times the item applied and was seen in place"
    return LookPicture(
        f"rounds-{who}",
        f"Seen by {WHO[keeping.from_unit]}",
        shares_drawing,
        (shares, measured),
    )


def _row(label: str, item: ItemShare) -> Share:
    low = item.limits.low if item.limits else None
    high = item.limits.high if item.limits else None
    return Share(label, item.kept, item.seen, low or 0.0, 1.0 if high is None else high)


def _lines(found: RoundResults) -> tuple[str, ...]:
    if found.apart is None:
        return ()
    low, high = found.apart.limits.low or 0.0, found.apart.limits.high or 0.0
    more = round(found.apart.value * 100)
    told = (
        f"Of 100 items, those from outside found {abs(more)} "
        f"{'fewer' if more < 0 else 'more'} not in place than those of the unit "
        f"(95 % limits {_more(low)} to {_more(high)}; they take each answer for one of "
        "its own, so the truth is less sure). The two are never taken together."
    )
    return (told,)


def _more(share: float) -> str:
    number = round(share * 100)
    return f"{abs(number)} fewer" if number < 0 else f"{number} more"


def _unknown(found: RoundResults) -> tuple[str, ...]:
    told = []
    if found.keepings and not any(not k.from_unit for k in found.keepings):
        told.append(
            f"What people from outside would see: nobody has looked. {found.flatters}"
        )
    for keeping in found.keepings:
        number = keeping.standing.open
        if number:
            told.append(
                f"{number:,} {'look' if number == 1 else 'looks'} by "
                f"{WHO[keeping.from_unit]} did not see every item; the share of all "
                "in place is a span because of them."
            )
    return tuple(told)
