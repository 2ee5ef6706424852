"""Prove a policy over every child, with a solver; the only home of the solver."""

from lumenkeep.policy.prove.boundary import BoundaryCase, Expected, boundary_cases
from lumenkeep.policy.prove.claims import PROPERTIES
from lumenkeep.policy.prove.difference import (
    Region,
    answers_on,
    faults_of_cut,
    regions_of,
)
from lumenkeep.policy.prove.differs import differs
from lumenkeep.policy.prove.epoch import Epoch, epochs_from
from lumenkeep.policy.prove.grid import Grid
from lumenkeep.policy.prove.proof import Breach, Part, prove_parts
from lumenkeep.policy.prove.review import fewest_that_meet_all
from lumenkeep.policy.prove.written_case import Example

__all__ = [
    "PROPERTIES",
    "BoundaryCase",
    "Breach",
    "Epoch",
    "Example",
    "Expected",
    "Grid",
    "Part",
    "Region",
    "answers_on",
    "boundary_cases",
    "differs",
    "epochs_from",
    "faults_of_cut",
    "fewest_that_meet_all",
    "prove_parts",
    "regions_of",
]
