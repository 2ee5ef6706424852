"""Find the protocol year that a timeline names among those shipped."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

import tomli

from lumenkeep.core.outcomes.read_protocol import protocol_from_tables
from lumenkeep.errors import Fault, InputError

if TYPE_CHECKING:
    from lumenkeep.core.outcomes.protocol import Protocol

FOLDER = "protocols"


def shipped_years() -> list[str]:
    """Return the protocol years that can be asked for, oldest first."""
    folder = files("lumenkeep.core.outcomes") / FOLDER
    return sorted(entry.name for entry in folder.iterdir() if entry.is_dir())


def edition_for(year: int) -> str:
    """Return the protocol year to determine by: that year's, else the latest before it.

    The oldest shipped, where all are younger. A page must say which one it was.
    """
    known = shipped_years()
    before = [one for one in known if int(one) <= year]
    return before[-1] if before else known[0]


@lru_cache(maxsize=8)
def protocol_year(year: str) -> Protocol:
    """Return a protocol year.

    Raises
    ------
    InputError
        No such year is shipped.
    """
    known = shipped_years()
    if year not in known:
        raise InputError(
            [
                Fault(
                    "timeline-no-such-protocol",
                    f"There is no protocol year '{year}'.",
                    "protocol",
                    "write one of: " + ", ".join(known),
                )
            ]
        )
    return protocol_from_tables(_tables(year), year)


def _tables(year: str) -> dict[str, Any]:
    """Return what a year's files hold, on top of the year that it extends."""
    folder = files("lumenkeep.core.outcomes") / FOLDER / year
    own: dict[str, Any] = {}
    for path in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if path.name.endswith(".toml"):
            own |= tomli.loads(path.read_text("utf-8"))
    base = own.get("edition", {}).get("extends")
    joined = _tables(base) if base else {}
    for key, value in own.items():
        inner = joined.get(key)
        both = isinstance(inner, dict) and isinstance(value, dict)
        joined[key] = {**inner, **value} if both else value  # type: ignore[dict-item]
    return joined
