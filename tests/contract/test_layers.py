"""Who may import whom: the contracts of pyproject.toml hold, and would bite."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LINT_IMPORTS = Path(sys.executable).with_name("lint-imports")

PACKAGES = (
    "cli", "web", "demo", "ward", "files", "drawing", "paper", "text", "core",
    "core/comparing", "core/proving", "core/reading", "core/recovery",
    "core/rehearsal", "core/planning", "core/due", "core/asepsis", "core/watch",
    "core/outcomes", "core/policy", "core/entries", "core/model",
    "ward/look_back", "ward/policies", "ward/chart_file", "ward/outcomes",
    "ward/rounds", "ward/guide", "ward/guide/account", "ward/guide/bundle",
    "ward/infections", "ward/concerns", "ward/chart", "ward/versions", "ward/long_work",
    "ward/site",
)  # fmt: skip
MODULES = ("ward/infections/timeline_of_chart.py", "ward/outcomes/figures.py")
PLANTED = {
    "model imports policy": ("core/model", "import lumenkeep.core.policy", "core"),
    "due imports planning": (
        "core/due",
        "from lumenkeep.core.planning import x",
        "engines",
    ),
    "a package without a layer": ("utils", "", "utils"),
    "a topic without a layer": ("ward/utils", "", "utils"),
    "the core imports a topic": ("core/due", "import lumenkeep.ward.chart", "rooms"),
    "the chart imports a topic": (
        "ward/chart",
        "import lumenkeep.ward.guide",
        "topics",
    ),
    "two topics beside each other": (
        "ward/rounds",
        "import lumenkeep.ward.guide",
        "topics",
    ),
    "django in planning": ("core/planning", "import django.db", "Django"),
    "django in a bundle": ("ward/guide/bundle", "import django.db", "Django"),
    "a heavy library in due": ("core/due", "import scipy.stats", "Solvers"),
    "click in a topic": ("ward/chart", "import click", "Solvers"),
}


def _lint_imports(folder: Path, *path: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [LINT_IMPORTS, "--no-cache"],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(map(str, path))},
        capture_output=True,
        text=True,
        check=False,
    )


def _skeleton(folder: Path) -> Path:
    shutil.copy(ROOT / "pyproject.toml", folder)
    for package in PACKAGES:
        (folder / "lumenkeep" / package).mkdir(parents=True)
        (folder / "lumenkeep" / package / "__init__.py").touch()
    (folder / "lumenkeep" / "__init__.py").touch()
    for module in ("errors.py", *MODULES):
        (folder / "lumenkeep" / module).touch()
    return folder / "lumenkeep"


def test_the_contracts_hold() -> None:
    result = _lint_imports(ROOT, ROOT / "src")

    assert result.returncode == 0, result.stdout + result.stderr


def test_an_empty_skeleton_breaks_nothing(tmp_path: Path) -> None:
    package = _skeleton(tmp_path)
    (package / "web" / "views.py").write_text("import django.db\n")
    (package / "cli" / "main.py").write_text("import click\n")

    result = _lint_imports(tmp_path, tmp_path)

    assert result.returncode == 0, result.stdout + result.stderr


@pytest.mark.parametrize("case", sorted(PLANTED))
def test_a_planted_fault_is_reported(tmp_path: Path, case: str) -> None:
    name, line, word = PLANTED[case]
    package = _skeleton(tmp_path)
    (package / name).mkdir(exist_ok=True)
    (package / name / "__init__.py").touch()
    (package / name / "planted.py").write_text(line + "\n")

    result = _lint_imports(tmp_path, tmp_path)

    assert result.returncode == 1
    assert word in result.stdout
