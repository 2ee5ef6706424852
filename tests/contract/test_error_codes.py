"""Every code of a fault has its line in errors.md, and no line outlives its code."""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "lumenkeep"
PAGE = ROOT / "docs" / "for-engineers" / "errors.md"
KEBAB = re.compile(r"[a-z0-9]+(-[a-z0-9]+)+")
LISTED = re.compile(r"^\| `([^`]+)` \|", re.MULTILINE)
# A reader puts its own word before the code that is written where the fault is found.
PREFIXES_OF_FOLDER = {
    "files": ("case",),
    "core/policy": ("policy",),
    "core/asepsis": ("policy",),
    "ward": ("chart",),
    "core/model": ("case", "policy", "timeline", "hospital", "chart-file"),
    "core/entries": ("chart-file",),
}


def _prefixes(call: ast.Call, folder: str) -> tuple[str, ...] | None:
    """Return what stands before the code written in a call; None if it is no fault."""
    match call.func:
        case ast.Name(id="Fault") | ast.Attribute(attr="Fault"):
            return ("",)
        case ast.Name(id="_fault") | ast.Attribute(attr="fault"):
            rooms = [room for room in PREFIXES_OF_FOLDER if folder.startswith(room)]
            return tuple(f"{p}-" for room in rooms for p in PREFIXES_OF_FOLDER[room])
        case _:
            return None


def codes_in(source: str, folder: str) -> Iterator[tuple[int, str | None]]:
    """Yield line and code of each fault; None where the code is not written out."""
    calls = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call)]
    for call in calls:
        prefixes = _prefixes(call, folder)
        if prefixes is None:
            continue
        match [k.value for k in call.keywords if k.arg == "code"] or call.args[:1]:
            case [ast.Constant(value=str(code))] if prefixes:
                yield from ((call.lineno, prefix + code) for prefix in prefixes)
            case [
                ast.JoinedStr(values=[*_, ast.FormattedValue(value=ast.Name("code"))])
            ]:
                pass  # Fault(f"case-{code}", …): the prefix is put before it here
            case _:
                yield call.lineno, None


def used_codes() -> dict[str, str]:
    """Return every code of the source, with one place where it is used."""
    found: dict[str, str] = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        place = path.relative_to(PACKAGE)
        for line, code in codes_in(path.read_text("utf-8"), place.as_posix()):
            assert code, f"{place}:{line}: write the code out, so that it can be found"
            found[code] = f"{place}:{line}"
    return found


def test_every_code_is_explained() -> None:
    listed = set(LISTED.findall(PAGE.read_text("utf-8")))

    missing = {code: at for code, at in used_codes().items() if code not in listed}

    assert not missing, f"add a line to {PAGE.relative_to(ROOT)} for each: {missing}"


def test_no_explanation_outlives_its_code() -> None:
    listed = set(LISTED.findall(PAGE.read_text("utf-8")))

    assert sorted(listed - set(used_codes())) == []


def test_no_code_is_explained_twice() -> None:
    listed = LISTED.findall(PAGE.read_text("utf-8"))

    assert len(listed) == len(set(listed))


def test_codes_are_kebab_case() -> None:
    assert [code for code in used_codes() if not KEBAB.fullmatch(code)] == []


@pytest.mark.parametrize(
    ("source", "folder", "code"),
    [
        ('Fault("case-odd", "w", "k", "m")', "cli", "case-odd"),
        ('errors.Fault(code="case-odd", what="w")', "cli", "case-odd"),
        ('reader.fault("odd", "w", "k", "m")', "files/case", "case-odd"),
        ('row.fault("odd", "w", "k", "m")', "core/policy", "policy-odd"),
        ('self.fault("odd", "w", "k", "m")', "ward/chart", "chart-odd"),
        ('_fault("odd", "w", "k")', "ward/chart", "chart-odd"),
        ("Fault(name, 'w', 'k', 'm')", "cli", None),
        ('reader.fault("odd", "w", "k", "m")', "core/planning", None),
    ],
)
def test_a_planted_code_is_found(source: str, folder: str, code: str | None) -> None:
    assert [found for _, found in codes_in(source, folder)] == [code]
