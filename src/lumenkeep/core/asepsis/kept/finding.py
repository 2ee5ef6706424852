"""What is found where a set does not keep what is published: one thing, in words."""

from __future__ import annotations

from dataclasses import dataclass

from lumenkeep.core.policy.loosened import openly


@dataclass(frozen=True, slots=True)
class ProcedureNotKept:
    """One published thing of the procedures that a set neither keeps nor names.

    Attributes
    ----------
    id
        What `[[loosened]]` calls it, as "dressing-change.D12" or "slip.glove-tears".
    says
        What was there, and what is there now, as a nurse would say it.
    places
        File and key of what the set says, where it says anything, then of what is
        published.
    procedure
        Id of the one procedure that it is about; None where it is about more.
    in_one
        What `[[loosened]]` calls it in one procedure alone, where it is about more.
    """

    id: str
    says: str
    places: tuple[str, ...]
    procedure: str | None = None
    in_one: str | None = None

    @property
    def mend(self) -> str:
        """How to put it right, or to mean it openly."""
        alone = f" (in one procedure alone, as '{self.in_one}')" if self.in_one else ""
        return f"put it back as published; {openly(self.id, alone)}"
