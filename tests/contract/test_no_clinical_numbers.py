"""No clinical number in code: intervals, limits and volumes live in policy data.

The engines may hold 0, 1 and -1 only. Everything else comes in with a unit, a start
day and a source. A number hidden in a string (``Decimal("0.5")``) counts too.
"""

from __future__ import annotations

import ast
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

PACKAGE = Path(__file__).parents[2] / "src" / "lumenkeep"
ENGINES = ("core/planning", "core/due", "core/asepsis")
ALLOWED = (0, 1)  # -1 is a minus before a 1
NUMBER_MAKERS = {"Decimal", "Fraction", "float", "int", "complex", "RealVal", "IntVal"}


def _annotations(node: ast.AST) -> list[ast.expr]:
    match node:
        case ast.FunctionDef() | ast.AsyncFunctionDef():
            return [node.returns] if node.returns else []
        case ast.arg() | ast.AnnAssign():
            return [node.annotation] if node.annotation else []
        case _:
            return []


def _called_name(call: ast.Call) -> str:
    match call.func:
        case ast.Name(id=name) | ast.Attribute(attr=name):
            return name
        case _:
            return ""


def _is_number(text: str) -> bool:
    try:
        value = complex(text.replace("/", "").strip())
    except ValueError:
        return False
    return value not in ALLOWED or "/" in text


def clinical_numbers(source: str) -> Iterator[tuple[int, str]]:
    """Yield the line and text of each number that should be policy data."""
    waiting: list[ast.AST] = [ast.parse(source)]
    while waiting:
        node = waiting.pop()
        skipped = _annotations(node)
        waiting += [kid for kid in ast.iter_child_nodes(node) if kid not in skipped]
        match node:
            case ast.Constant(value=bool()):
                pass
            case ast.Constant(value=int() | float() | complex() as value):
                if value not in ALLOWED:
                    yield node.lineno, repr(value)
            case ast.Call() if _called_name(node) in NUMBER_MAKERS:
                for given in node.args:
                    match given:
                        case ast.Constant(value=str(text)) if _is_number(text):
                            yield node.lineno, repr(text)


def test_the_engines_hold_no_clinical_number() -> None:
    faults = [
        f"{path.relative_to(PACKAGE)}:{line}: {number}"
        for engine in ENGINES
        for path in sorted((PACKAGE / engine).rglob("*.py"))
        for line, number in clinical_numbers(path.read_text(encoding="utf-8"))
    ]

    assert not faults, (
        "Numbers in an engine; give each a key, a unit, a start day and a source in "
        "the policy instead:\n" + "\n".join(faults)
    )


@pytest.mark.parametrize(
    "source",
    [
        "limit = 2",
        "limit = -7",
        "if age_days < 48: pass",
        "wait = timedelta(seconds=30)",
        "share = 0.5",
        "limit = Decimal('0.5')",
        "limit = decimal.Decimal('1500')",
        "part = Fraction('1/2')",
        "def plan(days=7): ...",
        "limits: dict[str, int] = {'gauze': 2}",
    ],
)
def test_a_planted_number_is_found(source: str) -> None:
    assert list(clinical_numbers(source))


@pytest.mark.parametrize(
    "source",
    [
        '"""Change after 7 days."""',
        "first = rows[0]; last = rows[-1]; count = 1",
        "flag = True",
        "def plan(kind: Literal[3]) -> Literal[7]: ...",
        "kind: Annotated[int, 7]",
        "label = f'{share:.2f} of 100'",
        "zero = Decimal('0')",
        "name = Decimal(text)",
    ],
)
def test_what_is_no_number_passes(source: str) -> None:
    assert not list(clinical_numbers(source))
