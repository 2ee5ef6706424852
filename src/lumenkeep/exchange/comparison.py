"""Write a comparison of two policies as JSON values and as words."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from lumenkeep.model import whole_or_not
from lumenkeep.model.words import DRESSINGS

if TYPE_CHECKING:
    from lumenkeep.planning.plan import Fired
    from lumenkeep.services.compare_policies import Comparison, Outcome


def outcome_in_words(outcome: Outcome) -> str:
    """Return one answer as a phrase."""
    if outcome.verdict == "stop":
        return "stop and call"
    if outcome.verdict == "ask":
        return "ask first"
    scrub = f", scrub {outcome.scrub_s} s" if outcome.scrub_s else ""
    off = f", off with {outcome.residue.replace('-', ' ')}" if outcome.residue else ""
    stay = f", {whole_or_not(outcome.stays_h)} h" if outcome.stays_h else ""
    cover = DRESSINGS.get(outcome.dressing or "", "no dressing").lower()
    return f"{outcome.agent}{scrub}, dry {outcome.dry_s} s{off}; {cover}{stay}"


def comparison_as_json(found: Comparison) -> dict[str, Any]:
    """Return the answer to ``lumenkeep compare --json``."""
    return {
        "a": {"set": found.one.id, "version": found.one.version},
        "b": {"set": found.two.id, "version": found.two.version},
        "same": not found.differences,
        "fewest": found.is_fewest,
        "exact": not found.faults,
        "faults": list(found.faults),
        "regions": [
            {
                "aspect": difference.aspect,
                "who": list(difference.who),
                "a": asdict(difference.one),
                "b": asdict(difference.two),
                "why_a": [_rule(rule) for rule in difference.why_one],
                "why_b": [_rule(rule) for rule in difference.why_two],
                "example": {"case": difference.case, "at": difference.at},
            }
            for difference in found.differences
        ],
    }


def _rule(rule: Fired) -> dict[str, str]:
    return {
        "rule": rule.rule,
        "because": rule.because,
        "source": rule.source,
        "where": rule.where,
    }
