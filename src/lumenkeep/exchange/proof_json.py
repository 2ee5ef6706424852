"""Write a proof as JSON values."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from lumenkeep.policy.prove import Breach
    from lumenkeep.services.prove_policy import Proof

MILLISECONDS = 3


def proof_as_json(proof: Proof) -> dict[str, Any]:
    """Return the answer to ``lumenkeep prove --json``; times in seconds."""
    return {
        "policy": {
            "set": proof.policy_set,
            "version": proof.version,
            "digest": proof.digest,
        },
        "day": proof.day.isoformat(),
        "proved": proof.holds,
        "properties": [
            {
                "name": part.name,
                "proved": part.holds,
                "claims": part.claims,
                "seconds": round(part.seconds, MILLISECONDS),
                "breaches": [_breach(breach) for breach in part.breaches],
            }
            for part in proof.parts
        ],
    }


def _breach(breach: Breach) -> dict[str, Any]:
    shown = breach.shown_by
    return {
        "says": breach.says,
        "rules": [{"rule": rule, "where": where} for rule, where in breach.rules],
        "mend": breach.mend,
        "case": shown.case if shown else None,
        "at": shown.at if shown else None,
        "later": shown.later if shown else None,
    }
