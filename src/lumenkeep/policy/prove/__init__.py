"""Prove a policy over every child, with a solver; the only home of the solver."""

from lumenkeep.policy.prove.boundary import BoundaryCase, Expected, boundary_cases
from lumenkeep.policy.prove.claims import PROPERTIES
from lumenkeep.policy.prove.diagram import Diagrams, Node
from lumenkeep.policy.prove.differs import differs, window_differs
from lumenkeep.policy.prove.epoch import Epoch, epochs_from
from lumenkeep.policy.prove.grid import Grid
from lumenkeep.policy.prove.held import Held
from lumenkeep.policy.prove.laid_out import Need, Use, Who
from lumenkeep.policy.prove.proof import Breach, Part, prove_lay_out, prove_parts
from lumenkeep.policy.prove.regions import Region, faults_of_cut, regions_of
from lumenkeep.policy.prove.review import fewest_that_meet_all
from lumenkeep.policy.prove.written_case import Example

__all__ = [
    "PROPERTIES",
    "BoundaryCase",
    "Breach",
    "Diagrams",
    "Epoch",
    "Example",
    "Expected",
    "Grid",
    "Held",
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
    "prove_parts",
    "regions_of",
    "window_differs",
]
