"""Prove a policy over every child, with a solver; the only home of the solver."""

from lumenkeep.core.policy.solver.boundary import BoundaryCase, Expected, boundary_cases
from lumenkeep.core.policy.solver.claims import PROPERTIES
from lumenkeep.core.policy.solver.diagram import Diagrams, Node
from lumenkeep.core.policy.solver.differs import differs, window_differs
from lumenkeep.core.policy.solver.epoch import Epoch, epochs_from
from lumenkeep.core.policy.solver.grid import Grid
from lumenkeep.core.policy.solver.held import HeldConditions
from lumenkeep.core.policy.solver.laid_out import Need, Use, Who
from lumenkeep.core.policy.solver.proof import (
    Breach,
    Part,
    prove_lay_out,
    prove_part,
    prove_parts,
)
from lumenkeep.core.policy.solver.regions import Region, faults_of_cut, regions_of
from lumenkeep.core.policy.solver.review import fewest_that_meet_all
from lumenkeep.core.policy.solver.written_case import Example

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
