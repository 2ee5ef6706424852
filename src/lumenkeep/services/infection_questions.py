"""What the forms for infections ask, one table a kind of entry."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lumenkeep.model import infection_words as words

AT = "at"
YES, NO = "yes", "no"
YES_NO = {YES: "Yes", NO: "No"}
GRADES = {str(grade): f"Grade {grade}" for grade in (1, 2, 3, 4)}
AS_WRITTEN = "One on each line, as the laboratory wrote it."


@dataclass(frozen=True, slots=True)
class Asked:
    """One question of a form.

    Parameters
    ----------
    kind
        "instant", "day", "choice", "pick" (a long list), "number", "line" or "text".
    choices
        Words with what is said for them.
    """

    name: str
    label: str
    kind: str
    choices: Mapping[str, str] | None = None
    is_needed: bool = True
    hint: str = ""


@dataclass(frozen=True, slots=True)
class InfectionForm:
    """A form: its title, a sentence above it, and what it asks.

    ``is_of_line`` says that the entry is of the line, not of the child alone.
    """

    title: str
    asked: tuple[Asked, ...]
    lead: str = ""
    is_of_line: bool = False


def _at(label: str) -> Asked:
    return Asked(AT, label, "instant")


_RESULT = Asked("result", "Result", "choice", words.RESULTS)
_GREW = Asked("organisms", "What grew", "text", None, is_needed=False, hint=AS_WRITTEN)

FORMS: Mapping[str, InfectionForm] = {
    "specimen": InfectionForm(
        "Chart a specimen",
        (
            _at("Taken at"),
            Asked("source", "What it is", "choice", words.SOURCES),
            Asked(
                "draw",
                "Name of this draw",
                "line",
                is_needed=False,
                hint="Needed for blood. Bottles filled at one time from one puncture or "
                "one lumen share a name, as in “left arm” or “white lumen”; another "
                "draw of the day has another.",
            ),
            Asked("method", "How it is tested", "choice", words.METHODS),
            _RESULT,
            _GREW,
        ),
        "Chart it when it is taken; the result can follow.",
    ),
    "specimen-result": InfectionForm(
        "Chart a result",
        (
            _at("Result known at"),
            Asked("specimen", "Of which specimen", "pick", {}),
            Asked("result", "Result", "choice", words.FINAL_RESULTS),
            _GREW,
        ),
    ),
    "sign": InfectionForm(
        "Chart a sign of infection",
        (
            _at("Seen at"),
            Asked("kind", "Sign", "choice", words.SIGNS),
            Asked(
                "celsius",
                "Temperature, °C",
                "number",
                is_needed=False,
                hint="As measured, for a temperature only.",
            ),
        ),
    ),
    "blood-count": InfectionForm(
        "Chart a blood count",
        (
            _at("Taken at"),
            Asked("kind", "What was counted", "choice", words.COUNTS),
            Asked(
                "per_mm3",
                "Cells per mm³",
                "number",
                hint="0.4 × 10⁹ per litre is 400 per mm³.",
            ),
        ),
    ),
    "gut": InfectionForm(
        "Chart the gut",
        (
            _at("Seen at"),
            Asked("kind", "What it is about", "choice", words.GUT),
            Asked(
                "grade",
                "Grade of the disease",
                "choice",
                GRADES,
                is_needed=False,
                hint="For graft-versus-host disease only.",
            ),
            Asked(
                "ml_24h",
                "Stool in 24 hours, mL",
                "number",
                is_needed=False,
                hint="For stool only.",
            ),
            Asked(
                "mass_kg",
                "The child weighs, kg",
                "number",
                is_needed=False,
                hint="For stool only.",
            ),
        ),
    ),
    "other-infection": InfectionForm(
        "Chart an infection elsewhere",
        (
            Asked("kind", "Where", "pick", words.OTHER_INFECTIONS),
            Asked("date_of_event", "Its date of event", "day"),
            Asked("window_first", "Its window: first day", "day", is_needed=False),
            Asked("window_last", "Its window: last day", "day", is_needed=False),
            Asked(
                "organisms",
                "What grew at that site",
                "text",
                is_needed=False,
                hint=AS_WRITTEN,
            ),
            Asked(
                "blood_is_element",
                "Is the blood part of what proves it?",
                "choice",
                YES_NO,
            ),
        ),
        "Only one that meets its own definition in full.",
    ),
    "condition": InfectionForm(
        "Chart a condition",
        (_at("Documented at"), Asked("kind", "Condition", "choice", words.CONDITIONS)),
    ),
    "transplant": InfectionForm(
        "Chart a transplant",
        (
            Asked("kind", "Transplant", "choice", words.TRANSPLANTS),
            Asked("on", "Done on", "day"),
        ),
    ),
    "device": InfectionForm(
        "Chart a circuit device",
        (
            _at("At"),
            Asked("kind", "Device", "choice", words.DEVICES),
            Asked("doing", "What happened", "choice", words.DEVICE_DOINGS),
        ),
    ),
    "pus": InfectionForm(
        "Chart pus at a vascular site",
        (
            _at("Seen at"),
            Asked("vascular_site", "At which site", "pick", words.VASCULAR_SITES),
            Asked(
                "organisms",
                "What a specimen of it grew",
                "text",
                is_needed=False,
                hint=AS_WRITTEN,
            ),
        ),
    ),
    "self-injection": InfectionForm(
        "Chart self-injection into the line",
        (_at("Noted at"), Asked("how", "Was it", "choice", words.SELF_INJECTION)),
    ),
    "line-tip": InfectionForm(
        "Chart where the tip lies",
        (_at("Seen at"), Asked("tip", "The tip lies", "choice", words.TIPS)),
        "As the film or the scan shows it. Once in a great vessel, the line stays a "
        "central line until it is out.",
        is_of_line=True,
    ),
    "line-access": InfectionForm(
        "Chart that the line was used",
        (_at("Used at"), Asked("for", "What for", "choice", words.ACCESS)),
        "The first use in this stay is what counts.",
        is_of_line=True,
    ),
}
