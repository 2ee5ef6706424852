#!/usr/bin/env python3
"""Print the measures of the house: ``python scripts/house.py [FOLDER_OF_CHECKOUT]``.

It reads the source and runs none of it, and needs nothing but Python 3.11.
What a number counts is said in the line above it.
"""

from __future__ import annotations

import ast
import sys
import tomllib
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

PACKAGE = "lumenkeep"
MOST_NAMED = 60
# Django and Python find these by their names, so nothing need import them.
FOUND_BY_NAME = frozenset(
    {"__init__", "__main__", "apps", "settings", "urls", "wsgi", "models"}
)


@dataclass
class Import:
    """One import of a module of ours: from where, and whether it is inside a function."""

    module: str
    inside: bool
    for_types: bool


@dataclass
class Module:
    """A module: its dotted name, its text, its tree, and what it imports of ours."""

    name: str
    path: Path
    text: str
    tree: ast.Module
    imports: list[Import] = field(default_factory=list)

    @property
    def package(self) -> str:
        """The folder it lies in, dotted."""
        if self.path.name == "__init__.py":
            return self.name
        return self.name.rpartition(".")[0]

    @property
    def lines(self) -> int:
        """How many lines its file has."""
        return self.text.count("\n")


def main() -> int:
    """Print every measure of a checkout."""
    root = Path(sys.argv[1] if sys.argv[1:] else Path(__file__).parents[1]).resolve()
    if not (root / "src" / PACKAGE).is_dir():
        say(f"There is no src/{PACKAGE} in {root}: name the folder of a checkout.")
        return 2
    modules = read(root / "src")
    for measure in (sizes, dataclasses, classes_twice, own_imports, circles):
        measure(modules)
    ports(modules, read(root / "tests"))
    layers(root, modules)
    only_tests(root, modules)
    return 0


def say(text: str = "") -> None:
    """Print a line."""
    sys.stdout.write(f"{text}\n")


def title(text: str) -> None:
    """Print the head of a part."""
    say()
    say(text)


def names(found: Iterable[str]) -> None:
    """Print names, one a line, and how many more there are."""
    every = sorted(found)
    for one in every[:MOST_NAMED]:
        say(f"    {one}")
    if len(every) > MOST_NAMED:
        say(f"    and {len(every) - MOST_NAMED} more")


# ---------------------------------------------------------------- reading


def read(folder: Path) -> dict[str, Module]:
    """Return every module below a folder, by its dotted name."""
    found = {}
    for path in sorted(folder.rglob("*.py")):
        parts = path.relative_to(folder).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        text = path.read_text("utf-8")
        found[name] = Module(name, path, text, ast.parse(text))
    for module in found.values():
        module.imports = list(_imports(module.tree, set(found)))
    return found


def _imports(tree: ast.Module, known: set[str]) -> Iterator[Import]:
    def walk(node: ast.AST, *, inside: bool, for_types: bool) -> Iterator[Import]:
        for child in ast.iter_child_nodes(node):
            is_function = isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef)
            types = for_types or (
                isinstance(child, ast.If) and "TYPE_CHECKING" in ast.unparse(child.test)
            )
            for name in _named(child, known):
                yield Import(name, inside, for_types)
            yield from walk(child, inside=inside or is_function, for_types=types)

    yield from walk(tree, inside=False, for_types=False)


def _named(node: ast.AST, known: set[str]) -> Iterator[str]:
    """Yield the modules of ours that an import names."""
    if isinstance(node, ast.Import):
        yield from (one.name for one in node.names if one.name in known)
    elif isinstance(node, ast.ImportFrom) and node.module:
        for one in node.names:
            whole = f"{node.module}.{one.name}"
            if whole in known:
                yield whole
            elif node.module in known:
                yield node.module


def room(name: str) -> str:
    """Return the top room of a module, as in "policy"."""
    parts = name.split(".")
    return parts[1] if parts[1:] else "(top)"


def classes(modules: dict[str, Module]) -> Iterator[tuple[Module, ast.ClassDef]]:
    """Yield every class, inner ones too, with its module."""
    for module in modules.values():
        for node in ast.walk(module.tree):
            if isinstance(node, ast.ClassDef):
                yield module, node


# ---------------------------------------------------------------- measures


def sizes(modules: dict[str, Module]) -> None:
    """Print lines and files, by top room."""
    say("Python under src/: lines, files, by top room (a module at the top by itself)")
    lines: Counter[str] = Counter()
    files: Counter[str] = Counter()
    for module in modules.values():
        lines[room(module.name)] += module.lines
        files[room(module.name)] += 1
    for name in sorted(lines):
        say(f"  {name:<16}{lines[name]:>8}{files[name]:>6}")
    say(f"  {'in all':<16}{lines.total():>8}{files.total():>6}")


def _is_dataclass(node: ast.ClassDef) -> bool:
    return any("dataclass" in ast.unparse(one) for one in node.decorator_list)


def _methods(node: ast.ClassDef) -> list[str]:
    return [one.name for one in node.body if isinstance(one, ast.FunctionDef)]


def _asks(node: ast.ClassDef) -> set[str]:
    """Return each method of a class with the names of what it is given."""
    return {
        f"{one.name} {ast.unparse(_bare(one.args))}"
        for one in node.body
        if isinstance(one, ast.FunctionDef) and one.name != "__init__"
    }


def _bare(given: ast.arguments) -> ast.arguments:
    """Return arguments without types and values: two that are named alike are alike."""

    def bare(every: list[ast.arg]) -> list[ast.arg]:
        return [ast.arg(one.arg) for one in every]

    return ast.arguments(
        posonlyargs=bare(given.posonlyargs),
        args=bare(given.args),
        kwonlyargs=bare(given.kwonlyargs),
        kw_defaults=[None] * len(given.kwonlyargs),
        defaults=[],
    )


def dataclasses(modules: dict[str, Module]) -> None:
    """Print how many dataclasses there are, and how many have no method."""
    found = [(m, node) for m, node in classes(modules) if _is_dataclass(node)]
    bare = [(m, node) for m, node in found if not _methods(node)]
    title(f"Dataclasses: {len(found)}; without a method: {len(bare)}")
    by_room = Counter(room(m.name) for m, _ in found)
    bare_by_room = Counter(room(m.name) for m, _ in bare)
    for name in sorted(by_room):
        say(f"  {name:<16}{by_room[name]:>6}{bare_by_room[name]:>6}")


def classes_twice(modules: dict[str, Module]) -> None:
    """Print names that several classes at the top of modules have; no migrations."""
    where = defaultdict(list)
    for module in modules.values():
        for node in module.tree.body:
            if isinstance(node, ast.ClassDef) and node.name != "Migration":
                where[node.name].append(module.name)
    twice = {name: at for name, at in where.items() if len(at) > 1}
    title(f"Names that several classes have: {len(twice)}")
    names(f"{name} {len(at)}: {', '.join(at)}" for name, at in twice.items())


def own_imports(modules: dict[str, Module]) -> None:
    """Print how many imports of our own modules stand inside functions."""
    every = [(m, one) for m in modules.values() for one in m.imports]
    inside = Counter(room(m.name) for m, one in every if one.inside)
    title(
        f"Imports of our own: {len(every)}; only for types: "
        f"{sum(one.for_types for _, one in every)}; inside a function: {inside.total()}"
    )
    for name in sorted(inside):
        say(f"  {name:<16}{inside[name]:>6}")


def circles(modules: dict[str, Module]) -> None:
    """Print the groups of packages that import each other, round about."""
    for what, of in (("top rooms", _room_of), ("packages", _package_of)):
        graph: dict[str, set[str]] = defaultdict(set)
        count: Counter[tuple[str, str]] = Counter()
        for module in modules.values():
            for one in module.imports:
                if one.for_types or one.inside:
                    continue
                here, there = of(module), of(modules[one.module])
                if here != there:
                    graph[here].add(there)
                    count[here, there] += 1
        groups = [group for group in _together(graph) if len(group) > 1]
        # An import at the top of a module; those inside functions are counted above.
        within = sum(
            n for (a, b), n in count.items() if any({a, b} <= group for group in groups)
        )
        title(
            f"Circles of {what}: {len(groups)}, of {sum(map(len, groups))} {what}; "
            f"imports within them: {within}"
        )
        for group in groups:
            say(f"    {', '.join(sorted(group))}")


def _room_of(module: Module) -> str:
    return room(module.name)


def _package_of(module: Module) -> str:
    return module.package


def _together(graph: dict[str, set[str]]) -> list[set[str]]:
    """Return the groups in which each reaches each other."""

    def reached(start: str) -> set[str]:
        seen: set[str] = set()
        waiting = [start]
        while waiting:
            for there in graph.get(waiting.pop(), ()):
                if there not in seen:
                    seen.add(there)
                    waiting.append(there)
        return seen

    reach = {name: reached(name) for name in graph}
    groups: list[set[str]] = []
    for name in sorted(graph):
        if not any(name in group for group in groups):
            groups.append({name} | {o for o in reach[name] if name in reach.get(o, ())})
    return groups


def ports(modules: dict[str, Module], tests: dict[str, Module]) -> None:
    """Print the ports, and how many classes have all that each asks for."""
    found, others = [], []
    for module, node in classes(modules):
        is_port = any("Protocol" in ast.unparse(base) for base in node.bases)
        (found if is_port else others).append((module, node))
    played = [node for _, node in classes(tests)]
    title(f"Ports (Protocol classes): {len(found)}; name, adapters in src, in tests")
    few = 0
    for module, node in sorted(found, key=lambda one: one[1].name):
        asked = _asks(node)
        own = [one.name for _, one in others if asked and asked <= _asks(one)]
        fakes = [one for one in played if asked and asked <= _asks(one)]
        few += len(own) <= 1
        said = f"{len(own):>3}{len(fakes):>3}  {', '.join(own)}"
        say(f"  {node.name:<22}{said}  ({module.name})")
    say(f"  with one adapter in src or none: {few}")


def layers(root: Path, modules: dict[str, Module]) -> None:
    """Print the imports that run up the layers, as pyproject.toml orders them."""
    settings = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))
    contracts = settings.get("tool", {}).get("importlinter", {}).get("contracts", ())
    for contract in contracts:
        if contract.get("type") != "layers":
            continue
        for container in contract.get("containers", [""]):
            height = _heights(contract["layers"], container)
            up = list(_up(modules, height))
            title(
                f"Imports that run up the layers of {container or contract['name']}: "
                f"{len(up)}; at the top of a module: {sum('inside' not in s for s in up)}"
            )
            names(up)


def _heights(rows: list[str], container: str) -> dict[str, int]:
    """Return how high each part of a container stands; the lowest is 0."""
    found = {}
    for height, row in enumerate(reversed(rows)):
        for one in row.replace(":", "|").split("|"):
            part = one.strip().strip("()")
            found[f"{container}.{part}" if container else part] = height
    return found


def _up(modules: dict[str, Module], height: dict[str, int]) -> Iterator[str]:
    def level(name: str) -> int | None:
        while name:
            if name in height:
                return height[name]
            name = name.rpartition(".")[0]
        return None

    for module in modules.values():
        here = level(module.name)
        for one in module.imports:
            there = level(one.module)
            if here is not None and there is not None and there > here:
                how = "for types" if one.for_types else "inside" if one.inside else ""
                yield f"{module.name} -> {one.module} {how}".rstrip()


def only_tests(root: Path, modules: dict[str, Module]) -> None:
    """Print modules that nothing of src imports, and functions that only tests name."""
    asked = {one.module for m in modules.values() for one in m.imports}
    strings, words = _said(modules)
    unused = [
        name
        for name, module in modules.items()
        if name not in asked | strings
        and name.rpartition(".")[2] not in FOUND_BY_NAME
        and not {"migrations", "templatetags"} & set(module.path.parts)
        and module.path.name != "__init__.py"
    ]
    title(f"Modules that nothing of src imports: {len(unused)}")
    names(unused)
    shown = " ".join(
        path.read_text("utf-8")
        for kind in ("*.html", "*.toml", "*.txt")
        for path in (root / "src").rglob(kind)
    )
    tested = _said(read(root / "tests"))[1]
    found = [
        f"{module.name}.{node.name}"
        for module in modules.values()
        if "migrations" not in module.path.parts
        for node in module.tree.body
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
        # The definition itself is no use of it, nor is a list of public names.
        if not words[node.name] and not node.decorator_list and node.name in tested
        if node.name not in shown
    ]
    title(f"Functions and classes that tests use, and nothing of src: {len(found)}")
    names(found)


def _said(modules: dict[str, Module]) -> tuple[set[str], Counter[str]]:
    """Return the dotted words of all strings, and how often each name is used."""
    strings: set[str] = set()
    words: Counter[str] = Counter()
    for module in modules.values():
        for node in ast.walk(module.tree):
            match node:
                case ast.Constant(value=str(text)) if "." in text:
                    # "package.module", and "package.module.name" as Django says it.
                    strings |= {text, text.rpartition(".")[0]}
                case ast.Name(id=name, ctx=ast.Load()) | ast.Attribute(attr=name):
                    words[name] += 1
    return strings, words


if __name__ == "__main__":
    sys.exit(main())
