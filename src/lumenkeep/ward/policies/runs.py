"""Proofs and comparisons: asked for by a page, worked out by a worker, told by their key."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep import __version__
from lumenkeep.ward.long_work import jobs

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from lumenkeep.core.policy.archive import SetTexts

SOLVE = "solve"


def proof_of(
    layers: Sequence[SetTexts],
    digest: str,
    day: date,
    *,
    again: bool = False,
    by: str = "",
) -> jobs.JobSoFar:
    """Return the proof of a set, begun if it is not yet, or ``again`` if it failed.

    ``by`` is the key of the person who asks.
    """

    def question() -> dict[str, Any]:
        return {"what": "prove", "policy": _packed(layers), "day": day.isoformat()}

    return jobs.ask(SOLVE, proof_key(digest, day), question, by=by, again=again)


def comparison_of(
    one: tuple[Sequence[SetTexts], str],
    two: tuple[Sequence[SetTexts], str],
    day: date,
    *,
    again: bool = False,
    by: str = "",
) -> jobs.JobSoFar:
    """Return the comparison of two sets (layers and digest), as `proof_of`."""

    def question() -> dict[str, Any]:
        return {
            "what": "compare",
            "other": _packed(one[0]),
            "policy": _packed(two[0]),
            "day": day.isoformat(),
        }

    key = comparison_key(one[1], two[1], day)
    return jobs.ask(SOLVE, key, question, by=by, again=again)


def stop_proof(digest: str, day: date) -> None:
    """Stop the proof of a set, if it is under way."""
    jobs.stop(SOLVE, proof_key(digest, day))


def stop_comparison(one: str, two: str, day: date) -> None:
    """Stop the comparison of two sets, by their digests, if it is under way."""
    jobs.stop(SOLVE, comparison_key(one, two, day))


def proof_key(digest: str, day: date) -> str:
    """Return what the proof of a set on a day, by this version, is known by."""
    return f"prove {__version__} {digest} {day}"


def comparison_key(one: str, two: str, day: date) -> str:
    """Return what the comparison of two sets on a day is known by, from their digests."""
    return f"compare {__version__} {one} {two} {day}"


def _packed(layers: Sequence[SetTexts]) -> list[dict[str, Any]]:
    return [{"name": layer.name, "files": dict(layer.files)} for layer in layers]
