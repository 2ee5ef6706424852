"""The substances whose sensitivity changes a plan, with the names people write.

Each may be written as a whole word (`words`), as the beginning of one (`stems`), or
anywhere once spaces and hyphens are taken out (`inside`). Whoever adds a name makes a
bar wider, never narrower.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SubstanceNames:
    """How one substance is written, in small letters.

    Parameters
    ----------
    words
        Whole words, short forms among them.
    stems
        Beginnings of words.
    inside
        Letters that name it wherever they stand; long enough to mean nothing else.
    """

    words: frozenset[str]
    stems: tuple[str, ...] = ()
    inside: tuple[str, ...] = ()


def _names(words: str, stems: str = "", inside: str = "") -> SubstanceNames:
    return SubstanceNames(
        frozenset(words.split()), tuple(stems.split()), tuple(inside.split())
    )


SUBSTANCES = {
    "chlorhexidine": _names(
        "chg chx chd chlorhexidine chlorhex",
        "chlorhex chlorohex clorhex chlorex klorhex",
        "chlorhex chlorohex hexidin biguanid",
    ),
    "iodine": _names(
        "iodine iodophor pvi pvp pvpi povidone iodide iodinated",
        "iodin iodop povidon polyvidon jodin",
        "iodine povidon polyvidon iodophor pvpi",
    ),
    "alcohol": _names(
        "alcohol alcohols alcoholic ethanol isopropyl isopropanol propanol ipa spirit "
        "spirits",
        "alcohol ethanol isoprop propanol ethyl propyl",
        "alcohol ethanol isopropyl isopropanol propanol",
    ),
    "adhesive": _names(
        "adhesive adhesives tape tapes plaster plasters sticking strips glue acrylate "
        "acrylates acrylic colophony rosin cyanoacrylate hydrocolloid",
        "adhesiv cyanoacryl acrylat coloph",
        "adhesive acrylate colophony stickingplaster hydrocolloid",
    ),
    "latex": _names("latex rubber", "latex", "latex naturalrubber"),
    "gel": _names("gel gels hydrogel hydrogels hydrocolloid", "hydrogel", "hydrogel"),
    "silicone": _names("silicone silicones silicon silikon", "silicon", "silicone"),
}
"""Names of each substance, by its word in `words.SENSITIVITIES`."""

NAMES_TO_GUESS = {
    name: frozenset(word for word, names in SUBSTANCES.items() if name in names.words)
    for all_names in SUBSTANCES.values()
    for name in sorted(all_names.words)
    if len(name) >= len("latex")
}
"""Names long enough that a word spelled almost so was probably meant, with what of."""
