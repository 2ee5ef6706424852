"""Each folder of `broken` has one fault, and `faults.txt` says it letter by letter."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from lumenkeep.cli.main import main
from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.files import SHIPPED_FOLDER
from lumenkeep.errors import PolicyError

BROKEN = Path(__file__).parent / "broken"
FOLDERS = sorted(path.name for path in BROKEN.iterdir() if path.name != "sound")


def told(name: str) -> str:
    """Return what is to be said of a folder."""
    shipped = ", ".join(sorted(p.name for p in SHIPPED_FOLDER.iterdir() if p.is_dir()))
    return (BROKEN / name / "faults.txt").read_text().replace("{shipped}", shipped)


def test_the_set_they_build_on_is_sound() -> None:
    assert load_policy(str(BROKEN / "sound")).id == "sound"


@pytest.mark.parametrize("name", FOLDERS)
def test_a_broken_set_is_refused_with_these_words(name: str) -> None:
    with pytest.raises(PolicyError) as caught:
        load_policy(str(BROKEN / name))

    assert str(caught.value) + "\n" == told(name)


def test_many_faults_are_told_at_once() -> None:
    with pytest.raises(PolicyError) as caught:
        load_policy(str(BROKEN / "many-faults"))

    assert [fault.code for fault in caught.value.faults] == [
        "policy-wrong-kind",
        "policy-bad-number",
        "policy-missing",
        "policy-unknown-word",
        "policy-unknown-key",
        "policy-unknown-key",
        "policy-no-such-number",
    ]


@pytest.mark.parametrize("command", [["policy", "check"], ["plan", "-", "--policy"]])
def test_the_command_tells_the_same_on_standard_error(command: list[str]) -> None:
    result = CliRunner().invoke(main, [*command, str(BROKEN / "many-faults")])

    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == told("many-faults")
