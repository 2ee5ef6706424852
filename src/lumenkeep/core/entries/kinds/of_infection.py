"""What is charted of a child to determine an infection."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.answers import (
    SPECIMENS,
    TABLE,
    TEXT,
    Day,
    Days,
    Held,
    Measure,
    Offered,
    Text,
    Texts,
    Word,
    YesNo,
)
from lumenkeep.core.entries.kind import CHILD, Field, Flaw, Form, Kind
from lumenkeep.core.model import infection_words as words

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    Body = Mapping[str, Any]

AT = "at"
AS_WRITTEN = "One on each line, as the laboratory wrote it."
GREW = Field("organisms", "What grew", Texts(), hint=AS_WRITTEN)
GRAMS_PER_KG = 1000
GRADES = {str(grade): f"Grade {grade}" for grade in (1, 2, 3, 4)}


def _form(title: str, happened: str, lead: str = "") -> Form:
    return Form(title, "Chart it", lead, happened, AT, is_time_first=True)


def _result(body: Body) -> tuple[Flaw, ...]:
    grew, organisms = body.get("result"), body.get("organisms")
    if grew == "grew" and not organisms:
        return (
            (
                "missing",
                "What grew: nothing is filled in.",
                "organisms",
                "write what the laboratory reports, or say that it is not back yet",
            ),
        )
    if grew in ("pending", "no-growth") and organisms:
        return (
            (
                "contradiction",
                "Something grew, and yet the result says otherwise.",
                "result",
                "choose that something grew, or empty the field of what grew",
            ),
        )
    return ()


def _specimen(body: Body) -> tuple[Flaw, ...]:
    flaws = _result(body)
    if body.get("source") == "blood" and not body.get("draw"):
        unnamed = (
            "missing",
            "Name of this draw: nothing is filled in.",
            "draw",
            "name it after where it was drawn",
        )
        return (unnamed, *flaws)
    return flaws


def _asks(kind: str, key: str, label: str) -> Callable[[Body], tuple[Flaw, ...]]:
    """Return a check that a kind has the value it asks for."""

    def check(body: Body) -> tuple[Flaw, ...]:
        if body.get("kind") != kind or body.get(key) is not None:
            return ()
        return (("missing", f"{label}: nothing is filled in.", key, "fill it in"),)

    return check


def _gut(body: Body) -> tuple[Flaw, ...]:
    return (
        *_asks("gvhd", "grade", "Grade of the disease")(body),
        *_asks("stool", "ml_24h", "Stool in 24 hours")(body),
    )


def _whole_cells(body: Body) -> tuple[Flaw, ...]:
    value = body.get("per_mm3")
    if value is None or value == int(value):
        return ()
    return (
        (
            "out-of-range",
            f"Cells per mm³: {value:g} is no whole number of cells.",
            "per_mm3",
            "write it per mm³: 0.4 × 10⁹ per litre is 400",
        ),
    )


def _in_its_window(body: Body) -> tuple[Flaw, ...]:
    window, event_on = body.get("window"), body.get("date_of_event")
    if not window or not event_on or window[0] <= event_on <= window[1]:
        return ()
    return (
        (
            "contradiction",
            "The date of event lies outside its window.",
            "date_of_event",
            "correct the day, or the window",
        ),
    )


OF_INFECTION = (
    Kind(
        "specimen",
        "Specimen taken",
        CHILD,
        (
            Field("source", "What it is", Word(words.SOURCES), required=True),
            Field(
                "draw",
                "Name of this draw",
                Text(is_long=False),
                hint="Needed for blood. Bottles filled at one time from one puncture or "
                "one lumen share a name, as in “left arm” or “white lumen”; another "
                "draw of the day has another.",
            ),
            Field("method", "How it is tested", Word(words.METHODS), required=True),
            Field("result", "Result", Word(words.RESULTS), required=True),
            GREW,
        ),
        _form(
            "Chart a specimen",
            "Taken at",
            "Chart it when it is taken; the result can follow.",
        ),
        check=_specimen,
    ),
    Kind(
        "specimen-result",
        "Result of a specimen",
        CHILD,
        (
            Field("specimen", "Of which specimen", Offered(SPECIMENS), required=True),
            Field("result", "Result", Word(words.FINAL_RESULTS), required=True),
            GREW,
        ),
        _form("Chart a result", "Result known at"),
        check=_result,
    ),
    Kind(
        "organism",
        "What an organism is",
        CHILD,
        (
            Field(
                "name",
                "As the laboratory wrote it",
                Text(is_long=False),
                required=True,
            ),
            Field("is", "What it is", Word(words.ORGANISM_MEANS), required=True),
            Field(
                "known_as",
                "The name it is known by here",
                Text(is_long=False),
                hint="For another name only, as in “Staphylococcus aureus”.",
            ),
        ),
        Form(
            "Chart what an organism is",
            "Chart it",
            "Ask the laboratory. It settles this name in all of the child's blood.",
            happened="",
            happened_name="",
        ),
    ),
    Kind(
        "sign",
        "Sign of infection",
        CHILD,
        (
            Field("kind", "Sign", Word(words.SIGNS), required=True),
            Field(
                "celsius",
                "Temperature, °C",
                Measure("°C", "temperature-degc"),
                only_with=("kind", "temperature"),
                hint="As measured, for a temperature only.",
            ),
        ),
        _form("Chart a sign of infection", "Seen at"),
        check=_asks("temperature", "celsius", "Temperature"),
    ),
    Kind(
        "blood-count",
        "Blood count",
        CHILD,
        (
            Field("kind", "What was counted", Word(words.COUNTS), required=True),
            Field(
                "per_mm3",
                "Cells per mm³",
                Measure("per mm³", "cells-per-mm3"),
                required=True,
                hint="0.4 × 10⁹ per litre is 400 per mm³.",
            ),
        ),
        _form("Chart a blood count", "Taken at"),
        check=_whole_cells,
    ),
    Kind(
        "gut",
        "Gut",
        CHILD,
        (
            Field("kind", "What it is about", Word(words.GUT), required=True),
            Field(
                "grade",
                "Grade of the disease",
                Word(GRADES, is_number=True),
                only_with=("kind", "gvhd"),
                hint="For graft-versus-host disease only.",
            ),
            Field(
                "ml_24h",
                "Stool in 24 hours, mL",
                Measure("mL", "stool-ml"),
                only_with=("kind", "stool"),
                hint="For stool only.",
            ),
            Field(
                "mass_kg",
                "The child weighs, kg",
                Measure("kg", "mass-g", scale=GRAMS_PER_KG),
                only_with=("kind", "stool"),
                hint="For stool only.",
            ),
        ),
        _form("Chart the gut", "Seen at"),
        check=_gut,
    ),
    Kind(
        "other-infection",
        "Infection elsewhere",
        CHILD,
        (
            Field(
                "kind",
                "Where",
                Word(words.OTHER_INFECTIONS, is_long=True),
                required=True,
            ),
            Field("date_of_event", "Its date of event", Day(), required=True),
            Field("window", "Its window", Days()),
            Field("organisms", "What grew at that site", Texts(), hint=AS_WRITTEN),
            Field(
                "blood_is_element",
                "Is the blood part of what proves it?",
                YesNo(),
                required=True,
            ),
        ),
        Form(
            "Chart an infection elsewhere",
            "Chart it",
            "Only one that meets its own definition in full.",
            happened="",
            happened_name="",
        ),
        check=_in_its_window,
    ),
    Kind(
        "condition",
        "Condition documented",
        CHILD,
        (Field("kind", "Condition", Word(words.CONDITIONS), required=True),),
        _form("Chart a condition", "Documented at"),
    ),
    Kind(
        "transplant",
        "Transplant",
        CHILD,
        (
            Field("kind", "Transplant", Word(words.TRANSPLANTS), required=True),
            Field("on", "Done on", Day(), required=True),
        ),
        Form("Chart a transplant", "Chart it", happened="", happened_name=""),
    ),
    Kind(
        "device",
        "Circuit device",
        CHILD,
        (
            Field("kind", "Device", Word(words.DEVICES), required=True),
            Field("doing", "What happened", Word(words.DEVICE_DOINGS), required=True),
        ),
        _form("Chart a circuit device", "At"),
    ),
    Kind(
        "pus",
        "Pus at a vascular site",
        CHILD,
        (
            Field(
                "vascular_site",
                "At which site",
                Word(words.VASCULAR_SITES, is_long=True),
                required=True,
            ),
            Field(
                "organisms",
                "What a specimen of it grew",
                Texts(),
                hint=AS_WRITTEN,
            ),
        ),
        _form("Chart pus at a vascular site", "Seen at"),
    ),
    Kind(
        "self-injection",
        "Self-injection into the line",
        CHILD,
        (Field("how", "Was it", Word(words.SELF_INJECTION), required=True),),
        _form("Chart self-injection into the line", "Noted at"),
    ),
    Kind(
        "infection-decision",
        "Decision on an infection",
        CHILD,
        (
            Field("event", "Of which blood", Offered(SPECIMENS), is_asked=False),
            Field(
                "proposal",
                "About which proposal",
                Held(TEXT, names_blood=True),
                is_asked=False,
            ),
            Field(
                "proposed",
                "As then proposed",
                Held(TABLE, names_blood=True),
                is_asked=False,
            ),
            Field("decision", "Decision", Word(words.DECISIONS), is_asked=False),
            Field("verdict", "What it is", Word(words.VERDICTS), is_asked=False),
            Field("ward", "Counted for", Offered("wards"), is_asked=False),
            Field("on", "Date of event", Day(), is_asked=False),
            Field("because", "Why", Text(), is_asked=False),
        ),
    ),
)
