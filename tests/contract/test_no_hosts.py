"""The repository names no package index, download host or folder of one machine.

A name that serves here fails elsewhere, and may say more about a place than it should.
The words are put together here, so that this file does not find itself.
"""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
HOSTS = (
    "py" + "pi.org",
    "python" + "hosted.org",
    "npm" + "js.org",
    "npm" + "js.com",
    "deb." + "debian.org",
    "security." + "debian.org",
    "cdn." + "jsdelivr",
    "un" + "pkg.com",
    "cdn" + "js.",
)
FOLDERS = re.compile(r"(?<![\w./-])/(?:work|root|Users|home/\w+)/")
OPTIONS = re.compile(r"--(?:extra-)?index-url|--find-links|--trusted-host|://")


def _project_files() -> list[Path]:
    """Return every file that is, or would be, committed."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        check=True,
    ).stdout.decode()
    paths = (ROOT / name for name in listed.split("\0") if name)
    return [path for path in paths if path.is_file()]


def places_of_one_machine(text: str) -> list[str]:
    """Return the hosts and folders named in a text."""
    folded = text.casefold()
    hosts = [host for host in HOSTS if host in folded]
    return hosts + FOLDERS.findall(text)


def test_no_file_names_a_host_or_a_folder_of_one_machine() -> None:
    faults = {}
    for path in _project_files():
        # Images and fonts are not text; they hold no such words worth finding.
        found = places_of_one_machine(path.read_text("utf-8", errors="ignore"))
        if found:
            faults[str(path.relative_to(ROOT))] = found

    assert not faults


def test_the_lock_files_name_no_address() -> None:
    locks = sorted((ROOT / "requirements").glob("*.txt"))

    assert locks
    for lock in (*locks, ROOT / "package-lock.json"):
        assert not OPTIONS.findall(lock.read_text("utf-8")), lock.name


def test_every_javascript_package_is_locked_by_its_hash() -> None:
    lock = json.loads((ROOT / "package-lock.json").read_text("utf-8"))
    wanted = json.loads((ROOT / "package.json").read_text("utf-8"))["devDependencies"]
    packages = {name: one for name, one in lock["packages"].items() if name}

    assert set(wanted) <= {name.removeprefix("node_modules/") for name in packages}
    for name, package in packages.items():
        assert package["integrity"].startswith("sha512-"), name
        assert "resolved" not in package, name
    for name, version in wanted.items():
        assert re.fullmatch(r"\d+(\.\d+)+", version), name
        assert packages[f"node_modules/{name}"]["version"] == version


@pytest.mark.parametrize(
    "text",
    [
        "from https://files.python" + "hosted.org/packages/x",
        "see '/wo" + "rk/main/x'",
        "in /ho" + "me/ann/x",
    ],
)
def test_a_planted_place_is_found(text: str) -> None:
    assert places_of_one_machine(text)
