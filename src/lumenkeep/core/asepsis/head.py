"""What the head of a procedure must say, and what a procedure is by what it does.

Frozen values; `heads.py` holds procedures to them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lumenkeep.core.asepsis.when import Rows, When


@dataclass(frozen=True, slots=True)
class ProcedureHead:
    """What the head of a procedure must say; of these a row says one or more.

    Attributes
    ----------
    starts, ends
        Rows of which one must hold before the first step, and after the last.
    asks
        Words that ``vary`` must name, by fact: each is met at some bedside.
    walked
        Facts of the setting by which such a procedure is always walked.
    task, does
        A due task, and the acts, in order, without which a procedure does not count
        for it, and with which it does.
    may_reset
        Due tasks beside which a procedure counts for none; empty where it says nothing.
    """

    id: str
    rule: str
    says: str
    starts: Rows
    ends: Rows
    asks: tuple[tuple[str, tuple[str, ...]], ...]
    walked: tuple[str, ...]
    task: str | None
    does: tuple[Mapping[str, tuple[str, ...]], ...]
    may_reset: tuple[str, ...]
    mend: str
    because: str
    source: str
    how: str | None
    where: str
    when: When


@dataclass(frozen=True, slots=True)
class ProcedureKind:
    """What a procedure is by what it does, whatever it is called.

    One with a step that matches ``on``, and none that matches ``without``, is held to
    what is said of ``procedure``.
    """

    id: str
    procedure: str
    on: Mapping[str, tuple[str, ...]]
    without: Mapping[str, tuple[str, ...]]
    because: str
    source: str
    how: str | None
    where: str
