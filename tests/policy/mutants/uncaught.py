"""Wrong changes that no proof notices. Once one does, it moves to its own kind.

What a set calls plausible is a statement about the world that the proof believes; only
a test against the published figure can hold it (see `tests/external`).
"""

from __future__ import annotations

from tests.policy.mutants.mutant import CHG, Mutant

MUTANTS = (
    Mutant(
        name="every-newborn-is-taken-for-heavy",
        wrong="From 28 days on, a mass nobody charted is taken for 2 kg or more.",
        base="quillmere",
        file="published/plausible.toml",
        find='at_least = "first-birthday"',
        put='at_least = "newborn-until"',
        fails="safe",
        shows=lambda s: s.agent == CHG and s.grams is None,
    ),
)
