"""Whether what was published under one id is still said wherever it was.

Steps, slips and rules of one id stand for one another where the plan differs: each of
them must be said by one that decides the same, in every setting in which it was.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from lumenkeep.core.asepsis.kept.settings import in_words, left_over, together, when_of

Otherwise = Callable[[Any, Any], Iterator[str]]
"""Yields what an own statement no longer says of a published one, but for when."""


def lost(
    variants: Sequence[Any],
    mine: Sequence[Any],
    otherwise: Otherwise,
    fixed: Mapping[str, str],
) -> tuple[str, Any] | None:
    """Return what is lost of a statement, and the own one that says it otherwise.

    Parameters
    ----------
    variants, mine
        Statements of one id: as published, and as the set has them, perhaps none.
    fixed
        Facts of the setting that are known, as the procedure.

    Returns
    -------
    tuple or None
        A sentence's end, as "is no more", and a statement of the set, None where it has
        none there. None where all is kept.
    """
    for one in variants:
        told = [(own, list(otherwise(one, own))) for own in mine]
        keepers = [when_of(own) for own, differs in told if not differs]
        gap = left_over(when_of(one), keepers, fixed)
        if gap is None:
            continue
        there = [
            (own, differs)
            for own, differs in told
            if differs and together(when_of(own), when_of(one), {**fixed, **gap})
        ]
        if there:
            own, differs = min(there, key=lambda pair: len(pair[1]))
            return "; ".join(differs), own
        where = in_words(gap, when_of(one)) if mine else ""
        return f"is no more{f', with {where}' if where else ''}", None
    return None
