"""Every code of a fault that is written in the source, wherever its file lies."""

from __future__ import annotations

import ast
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from tests.golden.from_the_house import PACKAGE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.golden.folder import Folder


def write(folder: Folder) -> None:
    """Write each code once; nothing of where it stands, nor of how often.

    A reader puts its own word before a code that is written out after ``fault(``;
    the messages themselves are held by the faults of files.
    """
    found = {code for source in _sources() for code in codes_in(source)}
    folder.text("error-codes.txt", "\n".join(sorted(found)))


def _sources() -> Iterator[str]:
    spec = find_spec(PACKAGE)
    assert spec
    assert spec.submodule_search_locations
    for path in Path(spec.submodule_search_locations[0]).rglob("*.py"):
        source = path.read_text("utf-8")
        if "ault(" in source:
            yield source


def codes_in(source: str) -> Iterator[str]:
    """Yield the code of each fault made in a source."""
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call):
            continue
        match node.func:
            case ast.Name(id="Fault") | ast.Attribute(attr="Fault"):
                before = ""
            case (
                ast.Name(id="_fault" | "fault") | ast.Attribute(attr="fault" | "_fault")
            ):
                before = "…-"
            case _:
                continue
        named = [one.value for one in node.keywords if one.arg == "code"]
        match [*named, *node.args]:
            case [ast.Constant(value=str(code)), *_]:
                yield before + code
