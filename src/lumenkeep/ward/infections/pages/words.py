"""What is proposed or decided of an infection, as a colleague would say it."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING

from lumenkeep.core.model import infection_words as words
from lumenkeep.core.outcomes.derivation import DECIDED
from lumenkeep.ward.infections.infection import (
    ASKS,
    CLABSI_VERDICTS,
    CONFIRMED,
    LEFT_OPEN,
    OVERRIDDEN,
    PROPOSED,
    Infection,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

STATUS_WORDS = {
    ASKS: "Asks for a fact",
    PROPOSED: "Proposed, not decided",
    CONFIRMED: "Confirmed",
    OVERRIDDEN: "Decided otherwise",
    LEFT_OPEN: "Left open",
}
SITES = {
    "uti": "a urinary tract infection",
    "pneumonia": "pneumonia",
    "intra-abdominal": "an infection inside the abdomen",
    "skin-soft-tissue": "an infection of skin and soft tissue",
    "bone-joint": "an infection of bone or joint",
    "meningitis": "meningitis",
    "sinusitis": "sinusitis",
    "ssi": "a surgical site infection",
    "nec": "necrotising enterocolitis",
    "endocarditis": "endocarditis",
    "vae": "a ventilator-associated event",
    "other": "an infection of another site",
}
SLUGS = {
    "anc": "neutrophils",
    "wbc": "white cells",
    "ecmo": "ECMO",
    "vad": "a ventricular assist device",
    "epidermolysis-bullosa": "epidermolysis bullosa",
    "munchausen-by-proxy": "Munchausen by proxy",
    "self-injection": "self-injection",
    "pus-at-another-site": "pus at another vascular site",
    "group-b-streptococcus": "group B streptococcus in the first days of life",
    **{site: said.lower() for site, said in words.VASCULAR_SITES.items()},
}
_ISO = re.compile(r"\b(\d{4}-\d{2}-\d{2})\b")
_BLOOD = re.compile(r"\bblood e\d+(?: \+ e\d+)* on ")
_SPECIMEN = re.compile(r"\be\d+\b(?: \+ e\d+\b)*")
NO_REASON_RULES = ("R10", "R12")


def day_words(day: date) -> str:
    """Return a day as it is said and stays true on paper, as in "Tue 24 Nov 2026"."""
    return f"{day:%a} {day.day} {day:%b %Y}"


def short_day(day: date) -> str:
    """Return a day without weekday and year, as in "24 Nov"."""
    return f"{day.day} {day:%b}"


def span_words(span: tuple[date, date]) -> str:
    """Return first and last day, as in "20 to 26 Nov"."""
    first, last = span
    start = str(first.day) if first.month == last.month else short_day(first)
    return f"{start} to {short_day(last)}"


class Plain:
    """Puts a derivation's own names into words: days, lines, specimens, wards.

    Parameters
    ----------
    names
        Lines and wards in words by key.
    """

    def __init__(self, names: Mapping[str, str]) -> None:
        known = {**SITES, **SLUGS, **names}
        keys = "|".join(re.escape(key) for key in sorted(known, key=len, reverse=True))
        self._known = known
        self._keys = re.compile(rf"(?<![\w-])(?:line )?({keys})(?![\w-])")

    def __call__(self, text: str) -> str:
        """Return the text in words, as a sentence of its own."""
        said = self.inside(text)
        return said[:1].upper() + said[1:]

    def inside(self, text: str) -> str:
        """Return the text in words, to stand inside a sentence."""
        text = _BLOOD.sub("blood of ", text)
        text = _SPECIMEN.sub("later blood", text)
        text = self._keys.sub(lambda found: self._known[found[1]], text)
        return _ISO.sub(lambda found: day_words(date.fromisoformat(found[1])), text)


def sentence_of(infection: Infection, ward_names: Mapping[str, str]) -> str:
    """Return what is so of an infection: as decided, else as proposed."""
    made = infection.decision
    if made is not None and made.word == OVERRIDDEN:
        return _said(infection, made.verdict, infection.on, infection.ward, ward_names)
    return proposal_sentence(infection, ward_names)


def proposal_sentence(infection: Infection, ward_names: Mapping[str, str]) -> str:
    """Return what is proposed of an infection."""
    if infection.proposed_verdict is None:
        blood = day_words(infection.first_taken.day)
        return f"Whether the blood of {blood} belongs to the line cannot be said yet."
    return _said(
        infection,
        infection.proposed_verdict,
        infection.proposed_on,
        infection.proposal.location,
        ward_names,
    )


def _said(
    infection: Infection,
    verdict: str | None,
    on: date,
    ward: str | None,
    ward_names: Mapping[str, str],
) -> str:
    blood = day_words(infection.first_taken.day)
    place = ward_names.get(ward or "", ward or "no ward")
    if verdict in CLABSI_VERDICTS:
        form = ", in the mucosal-barrier form," if CLABSI_VERDICTS[verdict] else ","
        return f"The blood of {blood} belongs to the line{form} and counts for {place}."
    if verdict == "primary":
        return f"The infection of {day_words(on)} does not count for a line."
    if verdict == "on-admission":
        return f"The infection of {day_words(on)} was there on admission."
    if verdict == "secondary":
        return f"The blood of {blood} belongs to an infection elsewhere."
    return f"The blood of {blood} makes no infection by the definition."


def reason_of(infection: Infection, plain: Plain) -> str:
    """Return why the proposal is so, in one sentence."""
    event = infection.proposal
    if infection.proposed_verdict is None:
        return plain(f"It hangs on {infection.asks[0].text}")
    if event.type == "none":
        said = [
            step.text
            for step in event.steps
            if step.kind == DECIDED and step.rule not in NO_REASON_RULES
        ]
        return plain(said[-1]) if said else ""
    if event.type == "secondary":
        said = [s.text for s in event.steps if s.kind == DECIDED and s.rule == "R21"]
        return plain(said[-1]) if said else ""
    if not event.is_healthcare_associated:
        said = [s.text for s in event.steps if s.kind == DECIDED and s.rule == "R9"]
        return plain(said[-1]) if said else ""
    if event.exclusions:
        return plain(f"An exclusion applies: {', '.join(event.exclusions)}.")
    if event.is_clabsi:
        said = [
            s.text for s in event.steps if s.kind == DECIDED and s.rule in ("R5", "R6")
        ]
        return plain(said[-1]) if said else ""
    if event.line_day is not None:
        return f"The date of event was line-day {event.line_day}: too early for a line."
    return "On the date of event and the day before, no line was in that counts."


def kind_words(infection: Infection) -> str:
    """Return type, organism and day of the proposal, as in "LCBI-1 · E. coli"."""
    event = infection.proposal
    kind = {"none": "No event", "secondary": "Secondary"}.get(event.type, event.type)
    return f"{kind} · {event.organism or 'organism not told'}"
