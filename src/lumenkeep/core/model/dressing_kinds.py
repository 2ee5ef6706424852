"""Every kind of dressing, said once: what it is called, and what of it meets the skin.

Which of them a set uses, for whom and how long, is policy data.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class DressingKind:
    """A kind of dressing.

    Parameters
    ----------
    label
        What it is called.
    substances
        Substances, from `words.SENSITIVITIES`, that it puts on the skin.
    material
        What of it lies on the site beside them; empty where nothing does. The film
        over gauze lies beside the site.
    short
        What it is called where there is little room; the label where left out.
    """

    label: str
    substances: tuple[str, ...] = ()
    material: str = ""
    short: str = ""

    @property
    def touches_site(self) -> tuple[str, ...]:
        """What of it touches the skin.

        What a child may not have there, no other dressing that holds it may bring there
        either.
        """
        return (self.material, *self.substances) if self.material else self.substances


DRESSING_KINDS = {
    "transparent": DressingKind("Clear film", ("adhesive",), "film", "Film"),
    "transparent-chg-gel": DressingKind(
        "Clear film with chlorhexidine gel pad",
        ("adhesive", "chlorhexidine", "gel"),
        "film",
        "Film, gel pad",
    ),
    "transparent-chg-disc": DressingKind(
        "Clear film over a chlorhexidine disc",
        ("adhesive", "chlorhexidine"),
        "film",
        "Film, disc",
    ),
    "gauze": DressingKind("Gauze", material="gauze"),
    "gauze-under-transparent": DressingKind(
        "Gauze under a clear film", ("adhesive",), "gauze", "Gauze, film"
    ),
    "bridge": DressingKind("Tape bridge at the cord, stump bare", ("adhesive",)),
}
