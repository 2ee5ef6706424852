"""Nelson's eight run rules, for many series at once, so that their cost can be simulated.

All eight together give a false signal about every 73 points of an unchanged process;
`run_rules` has the four usual ones with exact costs. No rule is on unless chosen.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Flags = NDArray[np.bool_]
    Series = NDArray[np.floating]

EIGHT = (1, 2, 3, 4, 5, 6, 7, 8)
BEYOND, ONE_SIDE, TREND, ALTERNATING, TWO_OF_3, FOUR_OF_5, WITHIN, OUTSIDE = EIGHT
LENGTHS = {ONE_SIDE: 9, TREND: 6, ALTERNATING: 14, WITHIN: 15, OUTSIDE: 8}
SHARES = {TWO_OF_3: (2, 3, 2.0), FOUR_OF_5: (4, 5, 1.0)}


def eight_rules(z: Series, rules: tuple[int, ...] = EIGHT) -> dict[int, Flags]:
    """Return for each rule where it signals.

    Parameters
    ----------
    z
        Points as distances from the centre line (sigma), shape ``(..., n)``; time runs
        along the last axis.
    rules
        1 one beyond 3 sigma; 2 nine on one side; 3 six rising or falling; 4 fourteen
        alternating; 5 two of three beyond 2; 6 four of five beyond 1; 7 fifteen within
        1; 8 eight outside 1, on either side.

    Returns
    -------
    dict
        Rule to flags of the shape of ``z``; true at the point that completes it.

    References
    ----------
    .. [1] L. S. Nelson, Journal of Quality Technology 16 (1984) 237-239.
    """
    return {rule: _flags(z, rule) for rule in rules}


def _flags(z: Series, rule: int) -> Flags:
    if rule == BEYOND:
        found: Flags = abs(z) > 3.0  # noqa: PLR2004 - the rule itself
        return found
    if rule in SHARES:
        needed, size, beyond = SHARES[rule]
        return _share(z > beyond, needed, size) | _share(z < -beyond, needed, size)
    length = LENGTHS[rule]
    if rule == ONE_SIDE:
        return _run(z > 0, length) | _run(z < 0, length)
    if rule in (WITHIN, OUTSIDE):
        inside = abs(z) < 1.0
        return _run(inside if rule == WITHIN else ~inside, length)
    return _by_steps(z, rule, length)


def _by_steps(z: Series, rule: int, length: int) -> Flags:
    """Rules about the direction of steps; a run of n points has n - 1 of them."""
    rises, falls = z[..., 1:] > z[..., :-1], z[..., 1:] < z[..., :-1]
    if rule == TREND:
        found = _run(rises, length - 1) | _run(falls, length - 1)
    else:
        turns = (rises[..., 1:] & falls[..., :-1]) | (falls[..., 1:] & rises[..., :-1])
        found = _later(_run(turns, length - 1 - 1))
    return _later(found)


def _later(flags: Flags) -> Flags:
    """Put one point that cannot signal in front."""
    import numpy as np

    first = np.zeros((*flags.shape[:-1], 1), dtype=bool)
    return np.concatenate([first, flags], axis=-1)


def _run(flags: Flags, length: int) -> Flags:
    return _share(flags, length, length)


def _share(flags: Flags, needed: int, size: int) -> Flags:
    """Return where the point itself and enough of the last ``size`` are flagged."""
    import numpy as np

    sums = np.cumsum(flags, axis=-1, dtype=np.int64)
    before = np.zeros_like(sums)
    before[..., size:] = sums[..., :-size]
    return np.asarray(flags & (sums - before >= needed), dtype=bool)
