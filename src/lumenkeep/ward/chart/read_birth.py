"""Read when a child was born, and how early, as somebody typed it."""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING

from lumenkeep.core.model import Gestation

if TYPE_CHECKING:
    from datetime import tzinfo

    from lumenkeep.ward.site.typed_values import Typed

BORN, GESTATION = "born", "gestation"
_DAY_LENGTH = len("2026-11-25")


def read_birth(
    form: Typed, zone: tzinfo, now: datetime, *, needed: bool
) -> dict[str, str | None]:
    """Return ``born`` and ``gestation`` as an entry holds them; None where not typed.

    Parameters
    ----------
    form
        ``born``: an instant, or a date where the time is not on record;
        ``gestation``: weeks and days.
    needed
        Whether the birth must be given.
    """
    text = form.text(BORN, "Born", needed=needed)
    at = form.instant(BORN, "Born", zone, now) if text is not None else None
    born = None
    if text is not None and at is not None:
        has_time = len(text) > _DAY_LENGTH
        born = at.isoformat() if has_time else at.astimezone(zone).date().isoformat()
    gestation = form.text(GESTATION, "Gestation at birth")
    if gestation is not None:
        try:
            gestation = str(Gestation.read(gestation))
        except ValueError:
            form.fault(
                "bad-gestation",
                "Gestation at birth: this is not weeks and days.",
                GESTATION,
                "write it as in 27w3d, or 27w where the days are not on record",
            )
    return {"born": born, "gestation": gestation}


def is_before_birth(at: datetime, born: str, zone: tzinfo) -> bool:
    """Whether an instant lies before a birth as an entry holds it."""
    if len(born) == _DAY_LENGTH:
        return at.astimezone(zone).date() < date.fromisoformat(born)
    return at < datetime.fromisoformat(born)
