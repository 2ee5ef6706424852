"""The law "kept or named": what is published of procedures, every set keeps or names."""

from lumenkeep.asepsis.kept.anew import said_anew
from lumenkeep.asepsis.kept.finding import NotKept
from lumenkeep.asepsis.kept.law import not_kept
from lumenkeep.asepsis.kept.settings import together
from lumenkeep.asepsis.kept.steps import Sides

__all__ = ["NotKept", "Sides", "not_kept", "said_anew", "together"]
