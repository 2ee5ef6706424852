"""Agreement of two or more people who judged the same things.

The trap of kappa: where nearly everything falls in one category it is low though the
two agree almost always, so agreement itself always stands beside it; and where both
used one category only there is no kappa, which is neither 0 nor 1.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Table = Sequence[Sequence[float]]
PREVALENT = 0.85


@dataclass(frozen=True, slots=True)
class Agreement:
    """Agreement beyond chance; ``kappa`` is None where it is not defined.

    ``se`` belongs to the value, ``se_null`` to the assumption of none. ``caution`` says
    where the value must not be read alone.
    """

    observed: float
    by_chance: float
    kappa: float | None
    se: float | None
    se_null: float | None
    linear: float | None = None
    quadratic: float | None = None
    caution: str | None = None


def cohen_kappa(table: Table) -> Agreement:
    """Return the agreement of two people from their square table of counts.

    Parameters
    ----------
    table
        Row: what the first said; column: what the second said.

    References
    ----------
    .. [1] J. Cohen, Educational and Psychological Measurement 20 (1960) 37-46.
    .. [2] J. L. Fleiss, J. Cohen and B. S. Everitt, Psychological Bulletin 72 (1969)
       323-327, for the standard errors.
    """
    total = float(sum(map(sum, table)))
    shares = [[cell / total for cell in row] for row in table]
    size = range(len(shares))
    rows = [sum(row) for row in shares]
    columns = [sum(row[j] for row in shares) for j in size]
    observed = sum(shares[i][i] for i in size)
    chance = sum(rows[i] * columns[i] for i in size)
    if chance >= 1.0:
        return Agreement(
            observed, chance, None, None, None,
            caution="Both used one category only: there is no kappa.",
        )  # fmt: skip
    kappa = (observed - chance) / (1.0 - chance)
    rest = 1.0 - kappa
    inside = sum(
        shares[i][i] * (1.0 - (rows[i] + columns[i]) * rest) ** 2 for i in size
    )
    outside = rest**2 * sum(
        shares[i][j] * (columns[i] + rows[j]) ** 2 for i in size for j in size if i != j
    )
    spread = inside + outside - (kappa - chance * rest) ** 2
    null = (
        chance
        + chance**2
        - sum(rows[i] * columns[i] * (rows[i] + columns[i]) for i in size)
    )
    scale = (1.0 - chance) * total**0.5
    return Agreement(
        observed,
        chance,
        kappa,
        max(spread, 0.0) ** 0.5 / scale,
        max(null, 0.0) ** 0.5 / scale,
        _weighted(shares, rows, columns, 1),
        _weighted(shares, rows, columns, 2),
        _caution(rows, columns, observed, kappa),
    )


def _weighted(
    shares: list[list[float]], rows: list[float], columns: list[float], power: int
) -> float | None:
    size = range(len(shares))
    seen = sum(shares[i][j] * abs(i - j) ** power for i in size for j in size)
    expected = sum(
        rows[i] * columns[j] * abs(i - j) ** power for i in size for j in size
    )
    return 1.0 - seen / expected if expected else None


def _caution(
    rows: list[float], columns: list[float], observed: float, kappa: float
) -> str | None:
    shares = [(row + column) / 2.0 for row, column in zip(rows, columns, strict=True)]
    if max(shares) < PREVALENT:
        return None
    return (
        f"{max(shares):.0%} of judgements fall in one category: kappa {kappa:.2f} says "
        f"little, read it beside the agreement of {observed:.0%}."
    )


def fleiss_kappa(table: Table) -> Agreement:
    """Return the agreement of several people.

    Parameters
    ----------
    table
        Row: a thing judged; column: how many people put it in that category. Every
        row has the same sum.

    References
    ----------
    .. [1] J. L. Fleiss, Psychological Bulletin 76 (1971) 378-382; standard error of
       J. L. Fleiss, J. C. M. Nee and J. R. Landis, ibid. 86 (1979) 974-977.
    """
    things, raters = len(table), float(sum(table[0]))
    pairs = raters * (raters - 1.0)
    observed = (
        sum((sum(cell * cell for cell in row) - raters) / pairs for row in table)
        / things
    )
    columns = len(table[0])
    shares = [sum(row[j] for row in table) / (things * raters) for j in range(columns)]
    chance = sum(share * share for share in shares)
    if chance >= 1.0:
        return Agreement(
            observed, chance, None, None, None,
            caution="All used one category only: there is no kappa.",
        )  # fmt: skip
    spread = sum(p * (1.0 - p) for p in shares)
    skew = sum(p * (1.0 - p) * (1.0 - 2.0 * p) for p in shares)
    variance = 2.0 * (spread**2 - skew) / (things * pairs * spread**2)
    return Agreement(
        observed,
        chance,
        (observed - chance) / (1.0 - chance),
        None,
        max(variance, 0.0) ** 0.5,
    )
