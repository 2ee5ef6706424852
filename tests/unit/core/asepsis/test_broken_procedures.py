"""Each file of `broken` has one fault, and its first lines say it letter by letter."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.texts import SetTexts
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.errors import PolicyError

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.procedure import Bedside

BROKEN = Path(__file__).parent / "broken"
NAMES = sorted(path.name for path in BROKEN.iterdir() if path.name != "sound.toml")


def read(*names: str) -> Bedside:
    """Return what the files say, as the only procedures of a set."""
    files = tuple((f"procedures/{n}", (BROKEN / n).read_text("utf-8")) for n in names)
    own = SetTexts("broken", files)
    return bedside_of(replace(load_policy("quillmere"), procedures=(own,)))


def told(name: str) -> str:
    """Return what is to be said of a file."""
    head, _, _ = (BROKEN / name).read_text("utf-8").partition("\n\n")
    return "\n".join(line.removeprefix("# ") for line in head.split("\n"))


def test_the_file_they_differ_from_is_sound() -> None:
    assert list(read("sound.toml").procedures) == ["small"]


def test_there_is_a_file_for_every_kind_of_row() -> None:
    words = "\n".join(told(name) for name in NAMES)

    for row in ("procedure", "step", "item", "rule", "slip", "spare"):
        assert f".toml: {row}" in words


@pytest.mark.parametrize("name", NAMES)
def test_a_broken_procedure_file_is_refused_with_these_words(name: str) -> None:
    with pytest.raises(PolicyError) as caught:
        read(name)

    assert str(caught.value) == told(name)
    assert len(caught.value.faults) == 1


def test_the_faults_of_all_files_are_told_at_once() -> None:
    names = ["actor-nobody-knows.toml", "place-nobody-knows.toml"]
    with pytest.raises(PolicyError) as caught:
        read(*names)

    wheres = " ".join(fault.where for fault in caught.value.faults)
    assert all(name in wheres for name in names)


def test_a_file_that_is_not_toml_is_named() -> None:
    own = SetTexts("broken", (("procedures/x.toml", "[step"),))
    with pytest.raises(PolicyError) as caught:
        bedside_of(replace(load_policy("quillmere"), procedures=(own,)))

    [fault] = caught.value.faults
    assert (fault.code, fault.where) == ("policy-not-toml", "broken/procedures/x.toml")
