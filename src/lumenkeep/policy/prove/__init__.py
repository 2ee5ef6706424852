"""Prove a policy over every child, with a solver; the only home of the solver."""

from lumenkeep.policy.prove.boundary import BoundaryCase, Expected, boundary_cases
from lumenkeep.policy.prove.claims import PROPERTIES
from lumenkeep.policy.prove.proof import Breach, Part, prove_parts
from lumenkeep.policy.prove.written_case import Example

__all__ = [
    "PROPERTIES",
    "BoundaryCase",
    "Breach",
    "Example",
    "Expected",
    "Part",
    "boundary_cases",
    "prove_parts",
]
