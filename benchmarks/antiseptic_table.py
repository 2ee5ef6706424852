"""The antiseptic table of the demo hospital, written for a general rules engine.

Two ways of asking the same engine: a *decision*, as its own first example does, and
a decision loaded under a key, which it compiles once and keeps. The second is its
best; both are shown, because either alone would mislead.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import zen

from cases import AT
from lumenkeep.core.model import Unknown, mass_at

if TYPE_CHECKING:
    from collections.abc import Callable

    from lumenkeep.core.model import Case

ROWS = (
    {"allergy": "true"},
    {"gestation_d": "< 196", "age_h": "< 1440"},
    {"mass_g": "< 1000"},
    {"age_h": "< 168"},
    {"skin": "'broken'"},
)
"""Each sends to povidone-iodine. Two calendar months are taken as 60 days: the cases
keep away from the days on which that differs."""
FIELDS = ("allergy", "gestation_d", "age_h", "mass_g", "skin")


def graph() -> dict[str, Any]:
    """Return the table as the engine reads it: the first row that fits counts."""
    rules = [
        {"_id": f"r{n}", **row, "out": "'povidone-iodine'"}
        for n, row in enumerate(ROWS)
    ]
    rules.append({"_id": "rest", "out": "'chlorhexidine-alcohol'"})
    blank = dict.fromkeys(FIELDS, "")
    content = {
        "hitPolicy": "first",
        "inputs": [{"id": f, "name": f, "field": f} for f in FIELDS],
        "outputs": [{"id": "out", "name": "agent", "field": "agent"}],
        "rules": [{**blank, **rule} for rule in rules],
    }
    nodes = [
        {"id": "in", "name": "in", "type": "inputNode"},
        {
            "id": "table",
            "name": "table",
            "type": "decisionTableNode",
            "content": content,
        },
        {"id": "end", "name": "end", "type": "outputNode"},
    ]
    path = [("in", "table"), ("table", "end")]
    edges = [
        {"id": f"e{n}", "sourceId": a, "targetId": b, "type": "edge"}
        for n, (a, b) in enumerate(path)
    ]
    return {"nodes": nodes, "edges": edges}


def as_decision() -> Callable[[dict[str, Any]], str]:
    """Return what answers from a decision object."""
    decision = zen.ZenEngine().create_decision(json.dumps(graph()))
    return lambda facts: decision.evaluate(facts)["result"]["agent"]


def as_loaded() -> Callable[[dict[str, Any]], str]:
    """Return what answers from a decision that the engine has loaded and compiled."""
    content = {"antiseptic": graph()}
    engine = zen.ZenEngine({"loader": {"type": "static", "content": content}})
    return lambda facts: engine.evaluate("antiseptic", facts)["result"]["agent"]


def plain_facts(case: Case) -> dict[str, Any]:
    """Return what the table compares, worked out beforehand; unknown is null."""
    child = case.child
    born, gestation, skin = child.born, child.gestation_at_birth, child.skin_at_site
    mass, known = mass_at(child, AT), child.sensitivities
    return {
        "allergy": not isinstance(known, Unknown) and "chlorhexidine" in known,
        "gestation_d": None if isinstance(gestation, Unknown) else gestation.days,
        "age_h": None
        if isinstance(born, Unknown)
        else (AT - born.latest).total_seconds() / 3600,
        "mass_g": None if isinstance(mass, Unknown) else mass.grams,
        "skin": None if isinstance(skin, Unknown) else skin,
    }
