"""What a slip asks of the way back: acts that must be there, in their order.

A slip's `redo` and `keep` say in words what nobody may leave out. Its duties are the
same as data. They count where the way back, or a step after it, does them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from lumenkeep.core.asepsis.act import any_row
from lumenkeep.core.asepsis.rules import compiled_rows, matches, said_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.core.asepsis.act import Act
    from lumenkeep.core.asepsis.procedure import Duty, Slip
    from lumenkeep.core.asepsis.state import Owed, State


def duties_of(slip: Slip, state: State) -> Owed:
    """Return what a slip asks for that happens in a state; the state before it spoils."""
    asked = tuple(
        duty
        for duty in slip.must
        if not duty.given or any_row(compiled_rows(duty.given, "operator"), state)
    )
    return (asked,) if asked else ()


class Duties:
    """What acts do of what is owed, each looked at once."""

    def __init__(self) -> None:
        self._fits: dict[tuple[Act, object], bool] = {}

    def fits(self, act: Act, duty: object) -> bool:
        """Return whether an act is what a duty asks for."""
        found = self._fits.get((act, duty))
        if found is None:
            on = cast("Duty", duty).on
            found = self._fits[act, duty] = matches(said_of(act), on)
        return found

    def left(self, owed: Owed, acts: Iterable[Act]) -> Owed:
        """Return what is still owed after some acts."""
        for act in acts:
            if not owed:
                return owed
            owed = self._after(owed, act)
        return owed

    def _after(self, owed: Owed, act: Act) -> Owed:
        lists = (duties[1:] if self.fits(act, duties[0]) else duties for duties in owed)
        return tuple(duties for duties in lists if duties)

    def is_owed(self, act: Act, owed: Owed) -> bool:
        """Return whether an act is asked for at all."""
        return any(self.fits(act, duty) for duties in owed for duty in duties)
