"""The JSON Schema of a case, made from the same lists that the reader uses."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from lumenkeep.core.model import Child, Line
from lumenkeep.core.model.allergy import SEVERITIES
from lumenkeep.core.model.closed_facts import stated_in
from lumenkeep.core.model.words import (
    DRESSINGS,
    FINDINGS,
    SENSITIVITIES,
    SET_KINDS,
)
from lumenkeep.core.policy.files import world_bounds
from lumenkeep.files.limits import DATE_PATTERN, GLOVES, INSTANT_PATTERN

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.core.model.closed_facts import Table

NOT_BLANK = {"type": "string", "pattern": r"\S"}


_GLOVE_PATTERN = (
    r"^\s*("
    + "|".join(re.escape(g) if "." in g else rf"{g}(\.0)?" for g in GLOVES)
    + r")\s*$"
)


def _maybe(schema: dict[str, Any], says: str) -> dict[str, Any]:
    return {"description": says, "anyOf": [{"type": "null"}, schema]}


def _words(words: Mapping[str, str], says: str) -> dict[str, Any]:
    return _maybe({"enum": list(words)}, says)


def _instant(says: str) -> dict[str, Any]:
    return _maybe({"type": "string", "pattern": INSTANT_PATTERN}, says)


def _yes_or_no(says: str) -> dict[str, Any]:
    return _maybe({"type": "boolean"}, says)


def _closed(table: Table) -> dict[str, dict[str, Any]]:
    """Return each fact of a closed list that a table may state, by its key."""
    found = {}
    for fact in stated_in(table):
        says = fact.says[fact.whose.index(table)]
        found[fact.attribute] = (
            _yes_or_no(says) if fact.is_yes_no else _words(fact.answers, says)
        )
    return found


def _table(says: str, properties: dict[str, Any]) -> dict[str, Any]:
    body = {
        "type": "object",
        "properties": properties,
        "additionalProperties": False,
    }
    return _maybe(body, says)


def _list(item: dict[str, Any], says: str) -> dict[str, Any]:
    return _maybe({"type": "array", "items": item}, says)


def _number(low: float, high: float, says: str, kind: str = "number") -> dict[str, Any]:
    return _maybe({"type": kind, "minimum": low, "maximum": high}, says)


def case_schema() -> dict[str, Any]:
    """Return the schema (draft 2020-12). Anything left out or null is unknown."""
    bounds = world_bounds()
    low, high = (days // 7 for days in bounds["gestation"].counts)
    weighing = {
        "type": "object",
        "properties": {
            "at": _instant("When weighed."),
            "g": _number(*bounds["mass-g"].span, "Mass in grams."),
        },
        "additionalProperties": False,
        "anyOf": [
            {"properties": {"at": {"type": "null"}, "g": {"type": "null"}}},
            {
                "properties": {
                    "at": {"type": "string"},
                    "g": {"type": "number"},
                },
                "required": ["at", "g"],
            },
        ],
    }
    told = {
        "type": "object",
        "properties": {
            "substance": NOT_BLANK,
            "what_happened": _maybe(NOT_BLANK, "What it did."),
            "severity": _words(SEVERITIES, "How severe it was."),
            "touches_skin": _maybe(
                {"type": "boolean"},
                "Whether it concerns anything that touches this child's skin here.",
            ),
        },
        "required": ["substance"],
        "additionalProperties": False,
    }
    child = _table(
        "The child; never a name.",
        {
            "born": _maybe(
                {
                    "anyOf": [
                        {"type": "string", "pattern": INSTANT_PATTERN},
                        {"type": "string", "pattern": DATE_PATTERN},
                    ]
                },
                "Instant of birth, or the date where the time is not on record.",
            ),
            "gestation_at_birth": _maybe(
                {
                    "type": "string",
                    "pattern": r"^\s*[0-9]{1,2}\s*[wW]\s*([0-6]\s*[dD])?\s*$",
                },
                f"Weeks and days, as in 27w3d, from {low}w0d to {high}w0d.",
            ),
            "weights": _list(weighing, "Every weighing."),
            "sensitivities": _list(
                {"anyOf": [NOT_BLANK | {"examples": list(SENSITIVITIES)}, told]},
                "What the child does not tolerate; [] means asked and none.",
            ),
            **_closed(Child),
        },
    )
    finding = {
        "anyOf": [
            {"enum": list(FINDINGS)},
            {
                "type": "object",
                "properties": {
                    "kind": {"enum": list(FINDINGS)},
                    "at": _instant("When seen."),
                },
                "required": ["kind"],
                "additionalProperties": False,
            },
        ]
    }
    dressing = _table(
        "The dressing now on.",
        {
            "kind": _words(DRESSINGS, "Kind of dressing."),
            "applied": _instant("When it was put on."),
            "findings": _list(finding, "What was found on it since; [] means nothing."),
            "is_off": _yes_or_no("Whether the last one came off and none is on."),
        },
    )
    hung = {
        "type": "object",
        "properties": {
            "kind": _words(SET_KINDS, "What runs through it."),
            "changed": _instant("When it was last changed."),
        },
        "additionalProperties": False,
    }
    of_line = _closed(Line)
    line = _table(
        "The line.",
        {
            "kind": of_line.pop("kind"),
            "site": of_line.pop("site"),
            "inserted": _instant("When it was put in."),
            "lumens": _number(*bounds["lumens"].counts, "Number of lumens.", "integer"),
            "external_length_mm": _number(
                *bounds["external-length-mm"].span, "External length in mm."
            ),
            "stitches": _number(
                *bounds["stitches"].counts, "Stitches that hold it.", "integer"
            ),
            "dressing": dressing,
            "connectors_changed": _instant("Last change of the needleless connectors."),
            "sets": _list(hung, "Administration sets; [] means none hang."),
            "needle_changed": _instant("Last change of a port's needle."),
            "reviewed": _instant("When its need was last reviewed."),
            "inspected": _instant("When the site was last looked at."),
            **of_line,
            "done": _maybe(
                {
                    "type": "object",
                    "additionalProperties": _instant("When it was last done."),
                },
                "Further recurring tasks, by name.",
            ),
        },
    )
    person = _table(
        "One of the two people.",
        {
            "glove": _maybe(
                {
                    "anyOf": [
                        {"type": "string", "pattern": _GLOVE_PATTERN},
                        {"enum": [float(size) for size in GLOVES]},
                    ]
                },
                "Glove size in halves.",
            )
        },
    )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Case",
        "description": "One child, one line, two people. Left out or null: unknown.",
        "type": "object",
        "properties": {
            "child": child,
            "line": line,
            "people": _table(
                "Who is at the bedside.", {"operator": person, "assistant": person}
            ),
            "zone": _maybe(
                NOT_BLANK,
                "Time zone whose wall clock counts, as in America/Chicago; "
                "otherwise the offset of the case's own instants.",
            ),
        },
        "additionalProperties": False,
    }
