"""What the product answers is what it answered: the quick part, file by file."""

from __future__ import annotations

from difflib import unified_diff
from typing import TYPE_CHECKING

import pytest
from tests.golden.record import KEPT, WHOLE, Kept, differences, listed, read_record
from tests.golden.write import write_part

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

SEE = """
{count} of {all} files are other than recorded (now in {folder}):
{lines}

To see each difference, write both sides and compare them:
  git worktree add ../before COMMIT-BEFORE && (cd ../before && scripts/setup.sh dev)
  (cd ../before && .venv/bin/python -m tests.golden.write /tmp/golden-before --part quick)
  .venv/bin/python -m tests.golden.write /tmp/golden-after --part quick
  diff -r /tmp/golden-before /tmp/golden-after
If the change is meant, say so in the commit, and keep it:
  .venv/bin/python -m tests.golden.write /tmp/golden-kept --part quick --record
"""


# One test, so that the folder is written once however many processes share the tests.
@pytest.mark.timeout(1800)
def test_every_answer_is_as_recorded(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert write_part(tmp_path, "quick") == 0, capfd.readouterr().err[-4000:]
    folder = tmp_path / "quick"
    was, now = read_record("quick"), listed(folder)

    found = list(differences(was, now))

    whole = [line for name in WHOLE for line in _lines(folder, name)]
    assert not found, SEE.format(
        count=len(found), all=len(was), folder=folder, lines="\n".join([*found, *whole])
    )


def _lines(folder: Path, name: str) -> Iterator[str]:
    """Yield the lines in which a file that is kept whole differs."""
    kept, found = ((at / name).read_text("utf-8").splitlines() for at in (KEPT, folder))
    yield from unified_diff(kept, found, f"recorded/{name}", name, lineterm="", n=0)


@pytest.mark.parametrize("name", WHOLE)
def test_what_is_kept_whole_is_of_the_record(name: str) -> None:
    assert listed(KEPT)[name] == read_record("quick")[name]


def test_a_changed_a_new_and_a_lost_file_are_each_named() -> None:
    was = {"same": Kept(1, "a"), "other": Kept(1, "a"), "lost": Kept(1, "a")}
    now = {"same": Kept(1, "a"), "other": Kept(2, "b"), "made": Kept(1, "a")}

    assert list(differences(was, now)) == [
        "gone     lost",
        "new      made",
        "differs  other (1 bytes, now 2)",
    ]
