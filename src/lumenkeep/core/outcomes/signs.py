"""Signs of the two commensal criteria inside an infection window, and the age test."""

from __future__ import annotations

import calendar
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes import questions
from lumenkeep.core.outcomes.timeline import Sign

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.outcomes.derivation import Steps
    from lumenkeep.core.outcomes.one_run import RunWays
    from lumenkeep.core.outcomes.protocol import Protocol

ONE_DAY = timedelta(days=1)
DECEMBER = 12


def months_after(day: date, months: int) -> date:
    """Return the day so many calendar months later; a month's last day at most."""
    years, month = divmod(day.month - 1 + months, DECEMBER)
    year, month = day.year + years, month + 1
    return date(year, month, min(day.day, calendar.monthrange(year, month)[1]))


def birth_until(day: date, months: int) -> date:
    """Return the first day of birth whose so-many-months day is ``day`` or later."""
    born = months_after(day, -months)
    while months_after(born, months) < day:
        born += ONE_DAY
    while months_after(born - ONE_DAY, months) >= day:
        born -= ONE_DAY
    return born


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


def _measured(sign: Sign, ways: RunWays) -> Sign:
    """Return a sign with its degrees; a temperature without them as this run takes it."""
    limits = ways.protocol.limits
    if sign.kind not in ways.protocol.words["fever"] or sign.celsius is not None:
        return sign
    answer = ways.choose(questions.temperature(sign))
    taken = (None, limits["fever-above"] + 1, limits["cold-below"] - 1)
    return replace(sign, celsius=taken[answer])


def criterion_met(
    first_draw_on: date,
    signs: Mapping[date, Sequence[Sign]],
    ways: RunWays,
    steps: Steps,
) -> Met | None:
    """Return which commensal criterion a pair meets, dated; None where neither.

    Parameters
    ----------
    first_draw_on
        Day of the pair's first draw, which sets the window.
    signs
        Signs by day.
    """
    protocol = ways.protocol
    low, high = protocol.window(first_draw_on)
    inside: list[Sign] = []
    day = low
    while day <= high:
        here = sorted(signs.get(day, ()), key=lambda sign: sign.at)
        inside.extend(_measured(sign, ways) for sign in here)
        day += ONE_DAY
    for sign in inside:
        if _counts_for_any_age(sign, protocol):
            steps.because("R16", "A sign lies inside the infection window.", sign)
            return Met("2", min(sign.at.day, first_draw_on), sign)
    for sign in inside:
        if _counts_for_infants(sign, protocol):
            event_on = min(sign.at.day, first_draw_on)
            if _is_infant(event_on, ways, steps):
                steps.because("R17", "A sign of infants lies inside the window.", sign)
                return Met("3", event_on, sign)
    _say_why_none(inside, low, high, protocol, steps)
    return None


def _is_infant(day: date, ways: RunWays, steps: Steps) -> bool:
    months = ways.protocol.count("infant-until-months")
    since = birth_until(day, months)
    is_infant = ways.is_born_since(
        since, "R17", "the sign counts up to one year of age"
    )
    if not is_infant:
        steps.because("R17", f"The child was born before {since}: older than one year.")
    return is_infant


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
