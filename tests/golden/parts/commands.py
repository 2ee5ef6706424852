"""What the commands answer, in words and in JSON, each in a file of its own."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.testing import CliRunner
from tests.golden.folder import slug
from tests.golden.from_the_house import main

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from tests.golden.folder import Folder

AT = "2026-11-24T08:00:00-06:00"
BABY = "docs/examples/demo-27-weeker.json"
SIX = "docs/examples/demo-six-year-old.toml"
CHART = "docs/examples/demo-chart.jsonl"
TIMELINES = ("docs/examples/demo-timeline.json", "docs/examples/tip-not-known.json")
DRESSINGS = "docs/examples/demo-dressings.csv"
OWN = "docs/examples/policy"
SETS = ("quillmere", "us-guideline", "uk-guideline")
LATER = (
    "2026-11-25T12:00:00-06:00", "2026-12-01T12:00:00-06:00", "2027-01-02T08:00:00-06:00",
)  # fmt: skip
STATISTICS = (
    "poisson events=3 line_days=1500",
    "rate events=3 line_days=1500",
    "sir observed=29 predicted=52.58",
    "two-rates events1=41 line_days1=28010 events2=15 line_days2=19017",
    "wilson x=81 n=263",
    "newcombe x1=56 n1=70 x2=48 n2=80",
    "kappa table=20,5/10,15",
    "fleiss-kappa table=2,1/3,0/1,2",
    "utilisation line_days=1250 child_days=2000",
    "sample-size share=0.6 half_width=0.1",
    "u-chart events=3,1,0 line_days=612,580,541 limits=probability",
    "u-prime-chart events=3,1,0 line_days=612,580,541",
    "p-chart events=3,1,0 sizes=10,20,30",
    "p-prime-chart events=3,1,0 sizes=10,20,30",
    "c-chart events=3,1,0",
    "g-chart gaps=12,45,3",
    "t-chart times=12,45,3",
    "run-rules rules=1+2 z=0,2.5,2.4",
    "cusum p0=0.05 p1=0.10 path=SSF",
    "rate-cusum events=1,3,4 expected=1,1,1 ratio=2 h=2",
    "funnel predicted=2,5 observed=1,9",
    "shrinkage observed=0,9,4 predicted=1.2,4.2,2.5",
    "segmented events=4,6,5,5,2,3,2,3 line_days=9,9,9,9,9,9,9,9 change=5",
    "survival times=6,6,7,10 events=1,1,0,1 at=7",
    "incidence times=2,3,5,7 ends=1,2,0,1 at=6",
    "log-rank times=6,6,7,10 events=1,1,0,1 groups=1,2,1,2 weights=gehan",
    "cox times=6,6.5,7,10 events=1,1,0,1 x=1,0,1,0",
)
REHEARSE = ("rehearse", "quillmere", "dressing-change")
SLIPS = (("glove-tears", "D13"), ("item-dropped", "D12"), ("site-soiled", "D12"))
SLIPS_NOT_THERE = (("no-such-slip", "D12"), ("glove-tears", "D99"))
PASSWORDS = re.compile(r"(?<=password )[\w-]{12,}")
LONG_FLOAT = re.compile(r"-?\d+\.\d{9,}(?:e[+-]?\d+)?|-?\d+(?:\.\d+)?e-\d+")
"""A float written to its last digit, which the processor's own arithmetic decides."""
CALCULATING = ("stats", "dressing-life", "look-back")
SECONDS = re.compile(r"( claims )\s*\d+\.\d\d( s:)|(\"seconds\": )[\d.e-]+")


def run(words: list[str], given: str | None = None) -> str:
    """Return what a command answers, run in this process: code, output, complaints."""
    found = CliRunner().invoke(main, words, input=given, catch_exceptions=False)
    return _told(words, found.exit_code, found.stdout, found.stderr)


def run_apart(words: list[str], data: Path | None = None) -> str:
    """Return the same, run in a process of its own: it becomes the web application.

    The data lie where this process's do, unless another folder is named.
    """
    found = subprocess.run(
        [sys.executable, "-m", "tests.golden.from_the_house", *words],
        env={**os.environ, "LUMENKEEP_DATA": str(data or _data())},
        capture_output=True, text=True, check=False, encoding="utf-8",
    )  # fmt: skip
    return _told(words, found.returncode, found.stdout, found.stderr)


def _data() -> Path:
    """Return the folder whose part ``demo`` this process works in."""
    return Path(os.environ["LUMENKEEP_DATA"]).parent


def _told(words: list[str], code: int, out: str, err: str) -> str:
    if words and words[0] in CALCULATING:
        out = LONG_FLOAT.sub(_nine_digits, out)
    return f"$ lumenkeep {' '.join(words)}\nexit {code}\n--- output\n{out}--- complaints\n{err}"


def _nine_digits(found: re.Match[str]) -> str:
    """Return a float to nine digits; what is no more than an error of rounding as 0."""
    value = float(found[0])
    return f"{0.0 if abs(value) < 1e-12 else value:.9g}"


def _keep(
    folder: Folder,
    words: list[str],
    ask: Callable[[list[str]], str] = run,
    *,
    timed: bool = False,
) -> None:
    said = ask(words)
    if timed:
        said = SECONDS.sub(lambda m: f"{m[1]}<s>{m[2]}" if m[1] else f"{m[3]}<s>", said)
    folder.text(
        f"commands/{slug(' '.join(words).replace('docs/examples/', ''))}.txt", said
    )


def write(folder: Folder) -> None:
    """Write the help and the answers that need no chart and no long work."""
    folder.text(
        "commands.txt",
        "\n".join(" ".join(words) for words in _helps(main, ["lumenkeep"])),
    )
    for words in _helps(main, []):
        _keep(folder, [*words, "--help"])
    for words in (*_quick(), *_quick_of_files()):
        _keep(folder, words)
        if "--json" not in words and not _is_words_only(words):
            _keep(folder, [*words, "--json"])
    _keep(folder, ["stats", "poisson", "events=3"])
    _keep(folder, ["stats", "sir", "observed=-1", "predicted=many", "foo=3", "lonely"])
    _keep(folder, ["stats", "nothing"])


def _helps(command: click.Command, words: list[str]) -> Iterator[list[str]]:
    yield words
    if isinstance(command, click.Group):
        context = click.Context(command)
        for name in sorted(command.list_commands(context)):
            # A command may be loaded only where it is called.
            called = command.resolve_command(context, [name])[1]
            assert called
            yield from _helps(called, [*words, name])


def _is_words_only(words: list[str]) -> bool:
    return words[0] in ("schema", "policy", "--version")


def _quick() -> Iterator[list[str]]:
    yield ["--version"]
    yield ["schema", "case"]
    for case in (BABY, SIX):
        for at in (AT, *LATER):
            for command in ("plan", "due"):
                yield [command, case, "--at", at]
        for name in ("us-guideline", "uk-guideline", OWN):
            yield ["due", case, "--at", AT, "--policy", name]
        yield ["plan", case, "--at", AT, "--extra"]
    yield ["policy", "read", OWN, "--day", "2026-11-25"]


def _quick_of_files() -> Iterator[list[str]]:
    yield ["chart", "kinds"]
    for at in (AT, *LATER):
        yield ["chart", "read", CHART, "--at", at, "--zone", "America/Chicago"]
    yield ["chart", "read", CHART, "--at", AT, "--extra", "--policy", "uk-guideline"]
    for timeline in TIMELINES:
        yield ["determine", timeline]
    yield ["dressing-life", DRESSINGS]
    yield ["dressing-life", DRESSINGS, "--by", "kind"]
    yield ["dressing-life", DRESSINGS, "--by", "kind", "--day", "3"]
    yield ["dressing-life", DRESSINGS, "--by", "colour"]
    for words in STATISTICS:
        yield ["stats", *words.split()]
    for slip, step in SLIPS_NOT_THERE:
        yield [*REHEARSE, "--slip", slip, "--at", step]
    yield [*REHEARSE, "--slip", "glove-tears"]
    yield ["rehearse", "quillmere", "no-such-procedure"]


def write_more(folder: Folder) -> None:
    """Write what the commands answer from the demo's chart, its PDF as text, and more."""
    for words in (
        ["chart", "export", "--all", "--demo"],
        ["chart", "export", "heron", "--demo"],
        ["chart", "export", "nowhere", "--demo"],
        ["chart", "export", "heron", "--all"],
        ["look-back", "heron", "--demo"],
        ["look-back", "heron", "--demo", "--json"],
        ["look-back", "wren", "--demo", "--from", "2026-09-01", "--to", "2026-10-31"],
        ["look-back", "nowhere", "--demo"],
        ["look-back", "heron", "--demo", "--from", "2026-12-01", "--to", "2026-11-01"],
        ["chart", "import", CHART, "--demo", "--dry-run"],
    ):
        _keep(folder, words, run_apart)
    _paper(folder)
    _hospital_of_its_own(folder)
    for name in (*SETS, "published", OWN):
        for day in ("2026-11-24", "2027-03-01"):
            _keep(folder, ["policy", "read", name, "--day", day])
    for case in (BABY, SIX):
        for name in ("us-guideline", "uk-guideline", OWN):
            _keep(folder, ["plan", case, "--at", AT, "--policy", name])
            _keep(folder, ["plan", case, "--at", AT, "--policy", name, "--json"])


def _paper(folder: Folder) -> None:
    from pypdf import PdfReader

    with tempfile.TemporaryDirectory() as kept:
        path = Path(kept) / "look-back.pdf"
        said = run_apart(["look-back", "heron", "--demo", "--pdf", str(path)])
        pages = [one.extract_text() for one in PdfReader(path).pages]
        folder.text("paper/look-back-heron.told.txt", said.replace(kept, "<folder>"))
    folder.text(
        "paper/look-back-heron.txt",
        "\n".join(f"--- page {n}\n{text}" for n, text in enumerate(pages, 1)),
    )


def _hospital_of_its_own(folder: Folder) -> None:
    """Set a hospital up, bring a chart file in twice, and take it out again."""
    set_up = ["set-up", "docs/examples/hospital.toml"]
    bring_in = ["chart", "import", CHART]
    asked = (set_up, set_up, ["look-back", "heron"], bring_in, bring_in,
             ["chart", "export", "--all"])  # fmt: skip
    with tempfile.TemporaryDirectory() as kept:
        said = "\n".join(run_apart(words, Path(kept)) for words in asked)
    folder.text(
        "commands/hospital-of-its-own.txt",
        PASSWORDS.sub("<password>", said.replace(kept, "<data>")),
    )


def write_proofs(folder: Folder) -> None:
    """Write proofs, comparisons, cases for review and rehearsals; many minutes."""
    keep = partial(_keep, folder, timed=True)
    for slip, step in SLIPS:
        keep([*REHEARSE, "--slip", slip, "--at", step])
        keep([*REHEARSE, "--slip", slip, "--at", step, "--json"])
    for name in (*SETS, OWN):
        keep(["policy", "check", name])
        for more in ([], ["--json"]):
            keep(["prove", name, *more])
            keep(["policy", "cases", name, *more])
            keep(["rehearse", name, *more])
    keep(["prove", "quillmere", "--day", "2027-03-01", "--json"])
    for one, two in (
        ("quillmere", "us-guideline"), ("quillmere", "uk-guideline"),
        ("us-guideline", "uk-guideline"), ("quillmere", OWN), ("quillmere", "quillmere"),
    ):  # fmt: skip
        for more in ([], ["--json"]):
            keep(["compare", one, two, *more])
    keep(["rehearse", "quillmere", "--case", BABY, "--at", AT])
    keep(["rehearse", "quillmere", "re-cover", "--ways-back", "--json"])
    keep(["rehearse", "uk-guideline", "connector-change", "--ways-back"])
