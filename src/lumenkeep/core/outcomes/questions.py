"""What may be asked while blood is worked out, each question in words with its answers.

The first answer of each is the one that a run takes where nobody says otherwise.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.derivation import UnknownFact
from lumenkeep.core.outcomes.organism_names import UNKNOWN

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lumenkeep.core.outcomes.admissions import Admission
    from lumenkeep.core.outcomes.organism_names import Taxon
    from lumenkeep.core.outcomes.timeline import (
        GutFinding,
        Noted,
        OtherInfection,
        Sign,
        Specimen,
    )

ONE_DAY = timedelta(days=1)
BIRTH, ORGANISM, SAME, LISTED, DRAWS, RESULT = (
    "birth", "organism", "same", "listed", "draws", "specimen-result",
)  # fmt: skip
STAYS, WINDOW, ELEMENT, GREW, VENTILATOR, MASS = (
    "stay", "window", "element", "grew", "ventilator", "mass",
)  # fmt: skip
SOURCE, SITE, TEMPERATURE = "source", "site", "temperature"


def birth(day: date, rule: str, why: str) -> UnknownFact:
    """Ask whether the child was born on a day or later."""
    return UnknownFact(
        BIRTH,
        day.isoformat(),
        rule,
        f"on which day the child was born ({why})",
        "child: the day of birth",
        (
            (f"the child was born before {day}", f"before {day}"),
            (f"the child was born on {day} or later", f"on {day} or later"),
        ),
    )


def organism(taxon: Taxon, near: Sequence[str]) -> UnknownFact:
    """Ask what an organism is; of one that no list knows, whether it is any of blood."""
    answers: tuple[tuple[str, str], ...] = (
        ("it counted as a common commensal", "a common commensal"),
        ("it counted as a pathogen", "a pathogen"),
    )
    clause = f"whether this counts as a common commensal: {taxon.name}"
    named = f"organism “{taxon.name}”: commensal or pathogen"
    if taxon.rank == UNKNOWN:
        answers = (*answers, ("it made no infection of the blood", "neither"))
        meant = f"did you mean {' or '.join(near)}?" if near else "no name here is near"
        named = f"organism “{taxon.name}”: what it is; {meant}"
        clause = (
            f"whether this counts as a common commensal: {taxon.name}, "
            f"which no list knows ({meant})"
        )
    return UnknownFact(ORGANISM, taxon.name, "R18", clause, named, answers)


def same(a: Taxon, b: Taxon) -> UnknownFact:
    """Ask whether two names are one organism."""
    return UnknownFact(
        SAME,
        f"{a.name}|{b.name}",
        "R19",
        f"whether these are the same organism: {a.name} and {b.name}",
        f"organisms “{a.name}” and “{b.name}”: whether they are the same",
        (
            ("the names were two organisms", "two"),
            ("the names were the same organism", "the same"),
        ),
    )


def listed(name: str, taxon: Taxon) -> UnknownFact:
    """Ask whether an organism is on a list."""
    which = "on the intestinal list" if name == "mucosal-barrier" else f"on “{name}”"
    return UnknownFact(
        LISTED,
        f"{name}|{taxon.name}",
        "R20",
        f"whether this is {which}: {taxon.name}",
        f"organism “{taxon.name}”: whether it is {which}",
        ((f"it were not {which}", "not on it"), (f"it were {which}", "on it")),
    )


def draws(
    bottles: Sequence[Specimen], groupings: Sequence[Sequence[Sequence[Specimen]]]
) -> UnknownFact:
    """Ask which bottles of a day were one draw."""
    names = " + ".join(one.id for one in bottles)
    said = [
        ", ".join(" with ".join(one.id for one in draw) for draw in grouping)
        for grouping in groupings
    ]
    return UnknownFact(
        DRAWS,
        names,
        "R18",
        "whether these specimens were separate draws",
        f"blood {names}: whether they were separate draws",
        tuple((f"they were drawn so: {words}", words) for words in said),
    )


def result(specimen: Specimen, grown: Sequence[str]) -> UnknownFact:
    """Ask what grows in blood that has no result yet."""
    at = f"the blood of {specimen.at}"
    return UnknownFact(
        RESULT,
        specimen.id,
        "R18",
        f"what grows in {at}, which has no result yet",
        f"blood {specimen.id} of {specimen.at}: its result",
        (
            ("nothing grew in it that matters here", "nothing that matters here"),
            *((f"{name} grew in it", name) for name in grown),
        ),
    )


def source(specimen: Specimen) -> UnknownFact:
    """Ask whether a specimen that says not what it is was blood."""
    return UnknownFact(
        SOURCE,
        specimen.id,
        "R15",
        f"whether the specimen {specimen.id} of {specimen.at} was blood",
        f"specimen {specimen.id} of {specimen.at}: what it is",
        (("it was blood", "blood"), ("it was no blood", "something else")),
    )


def temperature(sign: Sign) -> UnknownFact:
    """Ask how high a temperature was that was charted without its degrees."""
    return UnknownFact(
        TEMPERATURE,
        str(sign.at),
        "R16",
        f"how high the temperature on {sign.at} was",
        f"temperature on {sign.at}: its degrees",
        (
            ("it was neither fever nor cold", "neither fever nor cold"),
            ("it was fever", "fever"),
            ("the child was cold", "cold"),
        ),
    )


def stays(may_be: Sequence[Admission]) -> UnknownFact:
    """Ask when the child was an inpatient: never, or in one of these admissions."""
    spans = [
        f"from {one.first}" + ("" if one.last is None else f" to {one.last}")
        for one in may_be
    ]
    return UnknownFact(
        STAYS,
        "",
        "R1",
        "on which day the child came to an inpatient bed",
        "stays: when the child lay in an inpatient bed",
        (
            ("the child was no inpatient", "no inpatient"),
            *((f"the child lay in an inpatient bed {span}", span) for span in spans),
        ),
    )


def window(infection: OtherInfection, days_before: int) -> UnknownFact:
    """Ask when the window of an infection elsewhere began."""
    return UnknownFact(
        WINDOW,
        _key(infection),
        "R13",
        f"the infection window of {infection}",
        f"{infection}: its infection window",
        tuple(
            (f"its window began on {day}", f"from {day}")
            for day in (
                infection.event_on - n * ONE_DAY for n in range(days_before + 1)
            )
        ),
    )


def element(infection: OtherInfection) -> UnknownFact:
    """Ask whether the blood is an element of an infection elsewhere."""
    return UnknownFact(
        ELEMENT,
        _key(infection),
        "R21",
        f"whether the blood is part of what proves {infection}",
        f"{infection}: whether the blood is part of what proves it",
        (("it were no part of it", "no"), ("it were part of it", "yes")),
    )


def grew_elsewhere(infection: OtherInfection) -> UnknownFact:
    """Ask whether the blood's organism grew at the other site too."""
    return UnknownFact(
        GREW,
        _key(infection),
        "R21",
        f"what grew at the site of {infection}",
        f"{infection}: what grew at that site",
        (
            ("nothing grew there that the blood grew", "nothing that matches"),
            ("the blood's organism grew there", "the blood's organism"),
        ),
    )


def grew_in_pus(noted: Noted) -> UnknownFact:
    """Ask whether the blood's organism grew in pus at another vascular site."""
    place = f"pus at {noted.vascular_site} on {noted.at}"
    return UnknownFact(
        GREW,
        place,
        "R23",
        f"what grew in the {place}",
        f"{place}: what grew in it",
        (
            ("nothing grew in it that the blood grew", "nothing that matches"),
            ("the blood's organism grew in it", "the blood's organism"),
        ),
    )


def site_of_pus(noted: Noted) -> UnknownFact:
    """Ask whether pus was at a vascular site other than the line's."""
    return UnknownFact(
        SITE,
        str(noted.at),
        "R23",
        f"at which vascular site the pus of {noted.at} was",
        f"pus on {noted.at}: at which vascular site",
        (
            ("it was at the line itself", "at the line itself"),
            ("it was at another vascular site", "at another vascular site"),
        ),
    )


def ventilator(infection: OtherInfection) -> UnknownFact:
    """Ask whether blood belongs to a ventilator event, which has a rule of its own."""
    return UnknownFact(
        VENTILATOR,
        _key(infection),
        "R21",
        "whether this belongs to the ventilator event, which has a rule of its own: "
        "ask a person",
        f"{infection}: whether the blood belongs to it",
        (
            ("the blood did not belong to the ventilator event", "no"),
            ("the blood belonged to the ventilator event", "yes"),
        ),
    )


def mass(finding: GutFinding) -> UnknownFact:
    """Ask whether stool was enough for the child's mass."""
    return UnknownFact(
        MASS,
        str(finding.at),
        "R20",
        f"the mass on {finding.at}, to judge the stool",
        f"child: the mass on {finding.at}, to judge the stool",
        (
            ("the stool was less than the limit for the mass", "heavier"),
            ("the stool reached the limit for the mass", "lighter"),
        ),
    )


def _key(infection: OtherInfection) -> str:
    return str(infection)
