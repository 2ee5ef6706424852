"""Signs of the two commensal criteria inside an infection window, and the age test."""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from lumenkeep.outcomes.timeline import Sign

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.outcomes.derivation import Steps
    from lumenkeep.outcomes.protocol import Protocol

ONE_DAY = timedelta(days=1)
DECEMBER = 12


def months_after(day: date, months: int) -> date:
    """Return the day so many calendar months later; a month's last day at most."""
    years, month = divmod(day.month - 1 + months, DECEMBER)
    year, month = day.year + years, month + 1
    return date(year, month, min(day.day, calendar.monthrange(year, month)[1]))


@dataclass(frozen=True, slots=True)
class Met:
    """A commensal criterion that is met: its number, date of event and first sign."""

    criterion: str
    event_on: date
    sign: Sign


def _is_fever(sign: Sign, protocol: Protocol) -> bool:
    return sign.celsius is not None and sign.celsius > protocol.limits["fever-above"]


def _is_cold(sign: Sign, protocol: Protocol) -> bool:
    return sign.celsius is not None and sign.celsius < protocol.limits["cold-below"]


def _counts_for_any_age(sign: Sign, protocol: Protocol) -> bool:
    return _is_fever(sign, protocol) or sign.kind in protocol.words["sign_2"]


def _counts_for_infants(sign: Sign, protocol: Protocol) -> bool:
    return (
        _is_fever(sign, protocol)
        or _is_cold(sign, protocol)
        or sign.kind in protocol.words["sign_3"]
    )


def criterion_met(
    first_draw_on: date,
    signs: Mapping[date, Sequence[Sign]],
    born: date | None,
    protocol: Protocol,
    steps: Steps,
) -> Met | None:
    """Return which commensal criterion a pair meets, dated; None where neither.

    Parameters
    ----------
    first_draw_on
        Day of the pair's first draw, which sets the window.
    signs
        Signs by day.
    born
        Birth day; None where not known.
    """
    low, high = protocol.window(first_draw_on)
    inside: list[Sign] = []
    day = low
    while day <= high:
        inside.extend(sorted(signs.get(day, ()), key=lambda sign: sign.at))
        day += ONE_DAY
    for sign in inside:
        if _counts_for_any_age(sign, protocol):
            steps.because("R16", "A sign lies inside the infection window.", sign)
            return Met("2", min(sign.at.day, first_draw_on), sign)
    for sign in inside:
        if _counts_for_infants(sign, protocol):
            event_on = min(sign.at.day, first_draw_on)
            if _is_infant(event_on, born, protocol, steps):
                steps.because("R17", "A sign of infants lies inside the window.", sign)
                return Met("3", event_on, sign)
    _say_why_none(inside, low, high, protocol, steps)
    return None


def _is_infant(day: date, born: date | None, protocol: Protocol, steps: Steps) -> bool:
    if born is None:
        steps.missing("R17", "the day of birth: the sign counts up to one year of age.")
        return False
    until = months_after(born, protocol.count("infant-until-months"))
    if day > until:
        steps.because("R17", f"The child was older than one year ({until}).")
    return day <= until


def _say_why_none(
    inside: list[Sign], low: date, high: date, protocol: Protocol, steps: Steps
) -> None:
    limit = f"{protocol.limits['fever-above']:.1f} °C"
    highest = max(
        (sign.celsius for sign in inside if sign.celsius is not None), default=None
    )
    words = f"No sign from {low} to {high}"
    if highest is not None:
        words += f"; the highest temperature was {highest:g} °C, not above {limit}"
    steps.because("R16", words + ".", *inside)
    steps.otherwise(
        "R16",
        f"a temperature above {limit}, chills or hypotension were charted from {low} "
        f"to {high}, the commensal criterion would be met.",
    )
