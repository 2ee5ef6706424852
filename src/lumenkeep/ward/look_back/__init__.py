"""Looking back on a ward and period, section by section."""

from lumenkeep.ward.look_back.asked import LookBackSources
from lumenkeep.ward.look_back.assemble import look_back
from lumenkeep.ward.look_back.parts import Elsewhere, LookBack, LookFigure, LookSection

__all__ = [
    "Elsewhere",
    "LookBack",
    "LookBackSources",
    "LookFigure",
    "LookSection",
    "look_back",
]
