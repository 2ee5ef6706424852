"""The law "kept or named": what is published of procedures, every set keeps or names."""

from lumenkeep.core.asepsis.kept.anew import said_anew
from lumenkeep.core.asepsis.kept.finding import ProcedureNotKept
from lumenkeep.core.asepsis.kept.law import not_kept
from lumenkeep.core.asepsis.kept.settings import together
from lumenkeep.core.asepsis.kept.steps import StepSides

__all__ = ["ProcedureNotKept", "StepSides", "not_kept", "said_anew", "together"]
