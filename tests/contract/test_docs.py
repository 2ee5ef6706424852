"""The documentation tells the truth: its commands run, and its links lead somewhere."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path
from typing import TYPE_CHECKING

import click
import pytest
from click.testing import CliRunner

from lumenkeep.cli.called import Announced
from lumenkeep.cli.main import main
from lumenkeep.core.policy import load_policy

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
PAGES = sorted(
    path
    for path in (*ROOT.glob("*.md"), *DOCS.rglob("*.md"), *ROOT.glob("*/README.md"))
    if ".venv" not in path.parts
)
CONSOLE = re.compile(r"^```console\n(.*?)^```", re.MULTILINE | re.DOTALL)
TOML = re.compile(r"^```toml\n(.*?)^```", re.MULTILINE | re.DOTALL)
LINK = re.compile(r"\[[^\]]*\]\(([^)#\s]+)(?:#[^)]*)?\)")
LEFT_OUT = "[...]"
ANSWER_CODES = (0, 3, 4)


def shown_commands() -> list[tuple[str, str, list[str]]]:
    """Return page, command and shown output of each console example."""
    found = []
    for page in PAGES:
        for block in CONSOLE.findall(page.read_text("utf-8")):
            for part in block.split("$ ")[1:]:
                command, *output = part.rstrip().split("\n")
                found.append((str(page.relative_to(ROOT)), command, output))
    return found


def _place_of(line: str, real: list[str], start: int) -> int | None:
    pattern = re.compile(".*".join(re.escape(part) for part in line.split(LEFT_OUT)))
    for place in range(start, len(real)):
        if pattern.fullmatch(real[place]):
            return place
    return None


def disagreement(shown: list[str], real: list[str]) -> str | None:
    """Return the first shown line that real output lacks there; None if it fits.

    Lines follow each other as shown. Where the left-out mark stands alone lines may be
    missing; within a line, words.
    """
    place, may_skip = 0, False
    for line in shown:
        if line.strip() == LEFT_OUT:
            may_skip = True
            continue
        found = _place_of(line, real, place)
        if found is None or (found != place and not may_skip):
            return line
        place, may_skip = found + 1, False
    return None if may_skip or place == len(real) or not shown else "the end"


@pytest.mark.parametrize(("page", "command", "shown"), shown_commands())
def test_a_shown_command_gives_what_is_shown(
    page: str, command: str, shown: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    program, *words = shlex.split(command)
    assert program == "lumenkeep", f"{page} shows another program"

    result = CliRunner().invoke(main, words)

    assert result.exit_code in ANSWER_CODES, result.output
    assert disagreement(shown, result.stdout.rstrip().split("\n")) is None


def test_the_readme_shows_an_answer() -> None:
    shown = [
        c for page, c, output in shown_commands() if page == "README.md" and output
    ]

    assert any(command.startswith("lumenkeep plan") for command in shown)


@pytest.mark.parametrize(
    ("shown", "fits"),
    [
        (["a", "b", "c"], True),
        (["a", "[...]", "c"], True),
        (["[...]", "b", "[...]"], True),
        (["a", "c"], False),
        (["a", "b"], False),
        (["b", "[...]", "a"], False),
        (["a[...]", "b", "c"], True),
        (["a", "[...]d", "c"], False),
        (["a", "[...]", "made up", "[...]"], False),
        ([], True),
    ],
)
def test_a_planted_untruth_is_found(shown: list[str], fits: bool) -> None:
    assert (disagreement(shown, ["a", "b", "c"]) is None) is fits


def test_the_readme_names_the_two_commands_of_make() -> None:
    makefile = (ROOT / "Makefile").read_text("utf-8")
    text = (ROOT / "README.md").read_text("utf-8")
    named = set(re.findall(r"(?:^|`)make ([a-z][a-z-]+)", text, re.MULTILINE))

    assert {"demo", "test"} <= named
    assert [name for name in named if f"\n{name}:" not in makefile] == []


def commands(group: click.Group, path: str) -> Iterator[tuple[str, click.Command]]:
    """Yield every command below a group, with its whole name."""
    for name, announced in group.commands.items():
        command = announced.loaded() if isinstance(announced, Announced) else announced
        yield f"{path} {name}", command
        if isinstance(command, click.Group):
            yield from commands(command, f"{path} {name}")


@pytest.mark.parametrize(("name", "command"), list(commands(main, "lumenkeep")))
def test_every_command_and_option_has_help(name: str, command: click.Command) -> None:
    assert command.help, name
    for option in command.params:
        if isinstance(option, click.Option):
            assert option.help, f"{name} {option.opts[0]}"


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_links_lead_somewhere(page: Path) -> None:
    targets = [t for t in LINK.findall(page.read_text("utf-8")) if "://" not in t]

    assert [t for t in targets if not (page.parent / t).exists()] == []


def test_every_page_is_reached_from_the_index() -> None:
    reached, waiting = set(), [DOCS / "README.md"]
    while waiting:
        page = waiting.pop()
        if page in reached or not page.is_file():
            continue
        reached.add(page)
        if page.suffix == ".md":
            waiting += [
                (page.parent / target).resolve()
                for target in LINK.findall(page.read_text("utf-8"))
            ]

    assert [
        str(p.relative_to(DOCS)) for p in DOCS.rglob("*.md") if p not in reached
    ] == []


def test_decisions_have_numbers_of_their_own_and_four_parts() -> None:
    pages = sorted((DOCS / "decisions").glob("*.md"))
    numbers = [page.name[:4] for page in pages]

    assert len(set(numbers)) == len(numbers)
    for page in pages:
        text = page.read_text("utf-8")
        assert text.startswith(f"# {page.name[:4]}. "), page.name
        for part in ("Context", "Choice", "Rejected", "What would change our mind"):
            assert f"\n## {part}\n" in text, f"{page.name}: {part}"


def test_the_example_policy_is_sound_and_its_page_shows_its_text() -> None:
    folder = DOCS / "examples" / "policy"
    load_policy(str(folder))
    texts = "\n".join(path.read_text("utf-8") for path in sorted(folder.glob("*.toml")))
    page = (DOCS / "for-hospitals" / "how-to-write-a-policy.md").read_text("utf-8")

    assert [block for block in TOML.findall(page) if block.strip() not in texts] == []


@pytest.mark.parametrize("command", ["plan", "due"])
def test_every_key_of_an_answer_is_listed(command: str) -> None:
    case = DOCS / "examples" / "demo-27-weeker.json"
    words = [command, str(case), "--at", "2026-11-24T08:00:00-06:00", "--json"]
    answer = json.loads(CliRunner().invoke(main, words).stdout)
    page = (DOCS / "for-engineers" / "reference-case.md").read_text("utf-8")
    part = page.split(f"## The answer of `lumenkeep {command} --json`\n")[1]
    rows = part.split("\n## ")[0].strip()

    assert set(re.findall(r"^\| `([^`]+)` \|", rows.split("\n\n")[0], re.M)) == set(
        answer
    )
    inner = answer["antiseptic"] if command == "plan" else answer["tasks"][0]
    assert [key for key in inner if f"`{key}`" not in rows] == []
