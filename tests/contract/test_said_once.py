"""What is a fact, and what is a kind of dressing, stands in one table each.

A list of several by hand is one that the next is missing from; forgotten, most fail in
silence. Where one is meant, it is named here with the reason.
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from lumenkeep.core.model.closed_facts import CLOSED_FACTS
from lumenkeep.core.model.dressing_kinds import DRESSING_KINDS

PACKAGE = Path(__file__).parents[2] / "src/lumenkeep"
FACTS = {fact.name for fact in CLOSED_FACTS}
LISTS_FACTS = {
    "core/asepsis/words.py": "words of a procedure's settings, which are its own",
    "core/policy/solver/ordinary_child.py": "wished for first; all others follow",
    "core/rehearsal/setting_words.py": "what procedures are walked over",
    "core/rehearsal/stage.py": "what of a plan a procedure is told",
    "text/policy/child.py": "facts that have a sentence of their own",
    "text/policy/words.py": "phrases of facts that have words of their own",
    "ward/guide/bundle/steps.py": "words of a procedure's settings",
}
LISTS_DRESSINGS = {
    "core/model/dressing_kinds.py": "the table",
    "demo/life.py": "two that invented children have for a short while",
}


@pytest.mark.parametrize(
    ("names", "may"),
    [(FACTS, LISTS_FACTS), ({*DRESSING_KINDS}, LISTS_DRESSINGS)],
    ids=["facts", "dressings"],
)
def test_no_other_module_lists_them(names: set[str], may: dict[str, str]) -> None:
    found = {
        path.relative_to(PACKAGE).as_posix()
        for path in PACKAGE.rglob("*.py")
        if any(len(one & names) > 1 for one in _lists(path.read_text("utf-8")))
    }

    assert found == set(may)


@pytest.mark.parametrize(
    "text",
    [
        "OF = ('in_use', 'patency')",
        "OF = ['in_use', 'patency']",
        "OF = {'in_use': 1, 'patency': 2}",
        "def f(fact): return fact in {'in_use', 'patency'}",
    ],
)
def test_a_list_by_hand_is_seen(text: str) -> None:
    assert {"in_use", "patency"} in _lists(text)


def _lists(text: str) -> list[set[object]]:
    """Return the words of each list, tuple and set, and of the keys of each mapping."""
    found = []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Dict):
            held = node.keys
        elif isinstance(node, ast.Tuple | ast.List | ast.Set):
            held = list(node.elts)
        else:
            continue
        found.append({one.value for one in held if isinstance(one, ast.Constant)})
    return found
