"""Prove a policy over every child, with a solver; the only home of the solver."""

from lumenkeep.policy.prove.claims import PROPERTIES
from lumenkeep.policy.prove.counterexample import Example
from lumenkeep.policy.prove.proof import Breach, Part, prove_parts

__all__ = ["PROPERTIES", "Breach", "Example", "Part", "prove_parts"]
