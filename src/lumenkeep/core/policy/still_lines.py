r"""How often a limit of length calls a line moved that never moves: computed, not drawn.

Each of ``n`` lengths with the arm alike is held against the first of them. With
independent normal errors of standard deviation ``sd``, and given the error ``x`` (in
``sd``) of the first length, each later one stays inside the limits with probability

.. math:: g(x) = \Phi(outward / sd + x) - \Phi(x - inward / sd),

so all of them do with :math:`G(n) = \int \varphi(x) g(x)^{n-1} dx`. Lengths in other
positions of the arm have a first length of their own: the limits stay silent with the
product of their :math:`G`. As :math:`\log G` is convex in ``n`` (Hölder's inequality),
for each count of positions an even share makes the product least, so the rate given is
the highest that any course of the arm can reach.
"""

from __future__ import annotations

from functools import lru_cache
from math import erf, exp, inf, pi, sqrt

REACH = 8.0
"""How many standard deviations are integrated over: beyond lies less than 1e-14."""
STEP = 0.02
LIMITS_SHARE = 0.75
"""Of the false alarms that a policy allows, how much its limits may take: what they leave
is for measurements that confirm each other, without which small shifts go unseen."""


@lru_cache(maxsize=256)
def still_rate(outward_mm: float, inward_mm: float, sd_mm: float, over: int) -> float:
    """Return of still lines the share that limits ever call moved.

    Parameters
    ----------
    outward_mm, inward_mm
        From which change on they do (mm, at least 0); infinite for no such limit.
    sd_mm
        Standard deviation of one measurement (mm, above 0).
    over
        How many measurements there are, the first included (count, at least 1).

    Notes
    -----
    The trapezoid rule on an even grid, which for a smooth function that fades out at
    both ends is exact to rounding.

    Examples
    --------
    >>> f"{still_rate(5.0, 5.0, 2.0, 28):.3f}, {still_rate(12.0, 12.0, 2.0, 28):.5f}"
    '0.767, 0.00054'
    """
    places = [STEP * k for k in range(-round(REACH / STEP), round(REACH / STEP) + 1)]
    weights = [STEP * exp(-x * x / 2) / sqrt(2 * pi) for x in places]
    inside = [
        _below(outward_mm / sd_mm + x) - _below(x - inward_mm / sd_mm) for x in places
    ]
    silent = [1.0] + [
        min(1.0, sum(w * g ** (n - 1) for w, g in zip(weights, inside, strict=True)))
        for n in range(1, over + 1)
    ]
    most = 0.0
    for positions in range(1, over + 1):
        each, more = divmod(over, positions)
        fewer = silent[each] ** (positions - more)
        most = max(most, 1 - fewer * (silent[each + 1] ** more if more else 1.0))
    return most


def _below(x: float) -> float:
    """Return the normal distribution function."""
    if x in (inf, -inf):
        return 1.0 if x > 0 else 0.0
    return (1 + erf(x / sqrt(2))) / 2
