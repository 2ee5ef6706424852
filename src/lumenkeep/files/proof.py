"""Write a proof as JSON values."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.policy.solver import PROPERTIES
from lumenkeep.text.policy.child import child_in_words

if TYPE_CHECKING:
    from lumenkeep.core.policy.solver import Breach
    from lumenkeep.core.proving.prove_policy import Proof
    from lumenkeep.text.policy.said_of_proof import SaidOfProof

MILLISECONDS = 3


def proof_as_json(proof: Proof, said: SaidOfProof) -> dict[str, Any]:
    """Return the answer to ``lumenkeep prove --json``; times in seconds.

    ``said`` is what the proof stood on, and what it does not show; what the set says
    openly comes first: what it loosens, its own bounds of the world, what it says anew.
    """
    return {
        **({"said_openly": list(said.restated)} if said.restated else {}),
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
                "says": PROPERTIES[part.name],
                "proved": part.holds,
                "claims": part.claims,
                "seconds": round(part.seconds, MILLISECONDS),
                "breaches": [_breach(breach) for breach in part.breaches],
            }
            for part in proof.parts
        ],
        "not_proved": list(said.not_proved),
        "believed": list(said.believed),
    }


def _breach(breach: Breach) -> dict[str, Any]:
    shown = breach.shown_by
    return {
        "says": breach.says,
        "rules": [{"rule": rule, "where": where} for rule, where in breach.rules],
        "mend": breach.mend,
        "child": child_in_words(shown.case, shown.at, shown.later) if shown else None,
        "case": shown.case if shown else None,
        "at": shown.at if shown else None,
        "later": shown.later if shown else None,
        "since": breach.since.isoformat() if breach.since else None,
    }
