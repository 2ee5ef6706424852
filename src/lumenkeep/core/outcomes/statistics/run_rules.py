"""Run rules of control charts, and what each set of them costs in false alarms.

Every rule that is switched on makes false alarms more frequent. The average run
length says how many points of an unchanged process pass until one.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

BEYOND_3, TWO_OF_3, FOUR_OF_5, ONE_SIDE = "beyond-3", "2-of-3", "4-of-5", "one-side"
RULES = (BEYOND_3, TWO_OF_3, FOUR_OF_5, ONE_SIDE)
USUAL_RUN = 8
ZONES = (-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0)

State = tuple[tuple[int, ...], tuple[int, ...], int]


@dataclass(frozen=True, slots=True)
class RunLength:
    """Points until a signal, on average, for an unchanged and for a shifted process."""

    rules: tuple[str, ...]
    average_run_length: float


def _probabilities(shift: float, limit: float) -> list[tuple[float, float]]:
    """Return the chance of each zone with the place of its middle (sigma)."""
    from scipy.special import ndtr

    edges = [-limit, *[z for z in ZONES if abs(z) < limit], limit]
    chances = []
    for low, high in itertools.pairwise(edges):
        chance = float(ndtr(high - shift) - ndtr(low - shift))
        chances.append((chance, (low + high) / 2.0))
    return chances


def _side(z: float, beyond: float) -> int:
    return (z > beyond) - (z < -beyond)


def _next(state: State, z: float, rules: frozenset[str], run: int) -> State | None:
    """Return the state after a point at ``z``; None where a rule signals."""
    twos, ones, length = state
    if TWO_OF_3 in rules:
        side = _side(z, 2.0)
        if side and side in twos:
            return None
        twos = (*twos, side)[-2:]
    if FOUR_OF_5 in rules:
        side = _side(z, 1.0)
        if side and ones.count(side) >= len(RULES) - 1:
            return None
        ones = (*ones, side)[-4:]
    if ONE_SIDE in rules:
        side = _side(z, 0.0)
        length = length + side if length * side > 0 else side
        if abs(length) >= run:
            return None
    return twos, ones, length


def average_run_length(
    rules: Iterable[str] = (BEYOND_3,),
    *,
    run: int = USUAL_RUN,
    shift: float = 0.0,
    limit: float = 3.0,
) -> float:
    """Return how many points pass until a signal, on average.

    Parameters
    ----------
    rules
        Any of "beyond-3", "2-of-3" (beyond 2 sigma), "4-of-5" (beyond 1 sigma) and
        "one-side".
    run
        Length of the run on one side that signals.
    shift
        Shift of the mean (sigma).
    limit
        Where the outer limits lie (sigma).

    Notes
    -----
    Exact, by a chain over what the rules remember; normal points, known mean and
    sigma, both sides.

    References
    ----------
    .. [1] C. W. Champ and W. H. Woodall, Technometrics 29 (1987) 393-399.
    """
    import numpy as np

    chosen = frozenset(rules)
    zones = _probabilities(shift, limit if BEYOND_3 in chosen else 40.0)
    start: State = ((0, 0), (0, 0, 0, 0), 0)
    numbers = {start: 0}
    waiting, moves = [start], []
    while waiting:
        state = waiting.pop()
        for chance, z in zones:
            following = _next(state, z, chosen, run)
            if following is None:
                continue
            if following not in numbers:
                numbers[following] = len(numbers)
                waiting.append(following)
            moves.append((numbers[state], numbers[following], chance))
    stay: NDArray[np.float64] = np.zeros((len(numbers), len(numbers)))
    for here, there, chance in moves:
        stay[here, there] += chance
    lengths = np.linalg.solve(np.eye(len(numbers)) - stay, np.ones(len(numbers)))
    return float(lengths[0])


def false_signal_chance(points: int, one: float = 0.0026997960632601866) -> float:
    """Return the chance of at least one false signal among so many points."""
    return 1.0 - (1.0 - one) ** points


def signals(
    z: Sequence[float], rules: Iterable[str] = RULES, *, run: int = USUAL_RUN
) -> tuple[tuple[int, str], ...]:
    """Return number (from 1) and rule of every point at which a rule signals.

    Parameters
    ----------
    z
        Points as distances from the centre line (sigma).
    """
    chosen = frozenset(rules)
    found = []
    for number in range(1, len(z) + 1):
        seen = z[:number]
        found += [
            (number, rule) for rule in RULES if rule in chosen and _is(seen, rule, run)
        ]
    return tuple(found)


def _is(seen: Sequence[float], rule: str, run: int) -> bool:
    if rule == BEYOND_3:
        return abs(seen[-1]) > ZONES[-1]
    size, needed, beyond = {
        TWO_OF_3: (3, 2, 2.0),
        FOUR_OF_5: (5, 4, 1.0),
        ONE_SIDE: (run, run, 0.0),
    }[rule]
    side = _side(seen[-1], beyond)
    return bool(side) and [_side(x, beyond) for x in seen[-size:]].count(side) >= needed
