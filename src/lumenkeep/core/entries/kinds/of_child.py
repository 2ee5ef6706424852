"""Facts of the child: birth, weight, what it does not tolerate, skin, where it lies."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from lumenkeep.core.entries.answers import (
    BirthMoment,
    GestationWeeks,
    Measure,
    Offered,
    Substances,
    Text,
    Word,
    Words,
    YesNo,
)
from lumenkeep.core.entries.kind import CHILD, EITHER, Field, Form, Kind
from lumenkeep.core.model import Gestation, Weight, birth_from_text, words
from lumenkeep.core.model.allergy import sensitivities_of, told_in_body, told_in_words
from lumenkeep.core.model.facts import NOT_GIVEN, SAID_UNKNOWN
from lumenkeep.core.model.signs import BROKEN_SKIN

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.entries.fold import LineFold
    from lumenkeep.core.model.entry import Entry

SEEN_AT = "seen-at"


def _born(fold: LineFold, entry: Entry) -> None:
    gestation = entry.body.get("gestation")
    fold.child = replace(
        fold.child,
        born=birth_from_text(entry.body.get("born"), fold.zone),
        gestation_at_birth=Gestation.read(gestation) if gestation else SAID_UNKNOWN,
    )


def _weighed(fold: LineFold, entry: Entry) -> None:
    grams = entry.body.get("g")
    if grams is not None:
        weight = Weight(entry.happened_at, float(grams))
        fold.child = replace(fold.child, weights=(*fold.child.weights, weight))


def _not_tolerated(fold: LineFold, entry: Entry) -> None:
    known, allergies = sensitivities_of(entry.body)
    fold.child = replace(fold.child, sensitivities=known, allergies=allergies)


def _skin(fold: LineFold, entry: Entry) -> None:
    """Skin without a line holds for every site, until that site is looked at.

    An entry that does not say how the skin is ends nothing.
    """
    state = entry.body.get("state")
    if entry.line is None and state is not None:
        fold.child = replace(fold.child, skin_at_site=state)
        fold.line = replace(fold.line, skin_at_site=NOT_GIVEN)


def _stays(fold: LineFold, entry: Entry) -> None:
    unit = entry.body.get("unit") or SAID_UNKNOWN
    fold.child = replace(fold.child, unit=unit)


def _tolerance_said(body: Mapping[str, Any]) -> str:
    known = [words.SENSITIVITIES.get(word, word) for word in body.get("known") or ()]
    others = [told_in_words(told) for told in told_in_body({**body, "known": ()})]
    return ", ".join((*known, *others)) or "Asked: nothing known"


OF_CHILD = (
    Kind(
        "birth",
        "Birth",
        CHILD,
        (
            Field(
                "born",
                "Born",
                BirthMoment(),
                required=True,
                hint="Day and time, as in 2026-11-20 08:00; the day alone where no "
                "time is on record.",
            ),
            Field(
                "gestation",
                "Gestation at birth",
                GestationWeeks(),
                hint="Weeks and days, as in 27w3d; 27w where the days are not on "
                "record.",
            ),
        ),
        Form("Chart the birth", "Chart it", happened="", happened_name=""),
        takes=_born,
    ),
    Kind(
        "weight",
        "Weight",
        CHILD,
        (
            Field(
                "g",
                "Weight",
                Measure("g", "mass-g"),
                name="weight-g",
                required=True,
                said="",
                hint="In grams.",
            ),
        ),
        Form("Chart the weight", "Chart it", happened="Seen at", happened_name=SEEN_AT),
        takes=_weighed,
    ),
    Kind(
        "sensitivities",
        "What the child does not tolerate",
        CHILD,
        (
            Field(
                "known",
                "What does the child not tolerate?",
                Words(words.SENSITIVITIES, ("none", "Asked: none known"), is_free=True),
                name="sensitivities",
                required=True,
                said="",
                hint="Ask the family too.",
            ),
            Field("other", "Other substances", Substances(), said=""),
        ),
        Form(
            "Chart what the child does not tolerate",
            "Chart it",
            happened="Seen at",
            happened_name=SEEN_AT,
        ),
        takes=_not_tolerated,
        says=_tolerance_said,
    ),
    Kind(
        "skin",
        "Skin at the site",
        EITHER,
        (
            Field(
                "state",
                "The skin at the site is",
                Word(words.SKIN),
                name="skin",
                required=True,
                said="",
                begins={"broken": ("skin-broken",)},
                ends={"intact": BROKEN_SKIN},
            ),
        ),
        Form(
            "Chart the skin at the site",
            "Chart it",
            happened="Seen at",
            happened_name=SEEN_AT,
        ),
        takes=_skin,
    ),
    Kind(
        "stay",
        "Bed",
        CHILD,
        (
            Field(
                "ward",
                "The child now lies on",
                Offered("wards"),
                required=True,
                is_shown=False,
            ),
            Field(
                "bed",
                "Bed",
                Text(12, is_long=False),
                said="bed",
                hint="Left out where the child has left the wards.",
            ),
            Field("to", "Where to", Text(is_long=False), said="to", is_asked=False),
            Field("unit", "Kind of unit", Word(words.UNITS), said="", is_asked=False),
            Field(
                "inpatient",
                "In a bed of the ward",
                YesNo(),
                said="in a bed of the ward:",
                is_asked=False,
            ),
        ),
        Form(
            "Chart a move",
            "Chart this move",
            "All lines of the child move with it.",
            happened="Moved at",
            happened_name="moved-at",
            is_time_needed=True,
        ),
        takes=_stays,
    ),
)
