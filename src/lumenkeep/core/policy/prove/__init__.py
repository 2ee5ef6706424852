"""Prove a policy over every child, with a solver; the only home of the solver."""

from lumenkeep.core.policy.prove.boundary import BoundaryCase, Expected, boundary_cases
from lumenkeep.core.policy.prove.claims import PROPERTIES
from lumenkeep.core.policy.prove.diagram import Diagrams, Node
from lumenkeep.core.policy.prove.differs import differs, window_differs
from lumenkeep.core.policy.prove.epoch import Epoch, epochs_from
from lumenkeep.core.policy.prove.grid import Grid
from lumenkeep.core.policy.prove.held import HeldConditions
from lumenkeep.core.policy.prove.laid_out import Need, Use, Who
from lumenkeep.core.policy.prove.proof import (
    Breach,
    Part,
    prove_lay_out,
    prove_part,
    prove_parts,
)
from lumenkeep.core.policy.prove.regions import Region, faults_of_cut, regions_of
from lumenkeep.core.policy.prove.review import fewest_that_meet_all
from lumenkeep.core.policy.prove.written_case import Example

__all__ = [
    "PROPERTIES",
    "BoundaryCase",
    "Breach",
    "Diagrams",
    "Epoch",
    "Example",
    "Expected",
    "Grid",
    "HeldConditions",
    "Need",
    "Node",
    "Part",
    "Region",
    "Use",
    "Who",
    "boundary_cases",
    "differs",
    "epochs_from",
    "faults_of_cut",
    "fewest_that_meet_all",
    "prove_lay_out",
    "prove_part",
    "prove_parts",
    "regions_of",
    "window_differs",
]
