"""Ways back worked out once, kept in the data folder, and worked out anew if lost."""

from __future__ import annotations

import time
from threading import Event, Semaphore
from typing import TYPE_CHECKING, Any

import pytest
from tests.fakes.ways import no_slips
from tests.unit.ward.guide.test_bundle import WORDS, stage

from lumenkeep.core.asepsis.branch import laid_out
from lumenkeep.core.recovery.handful import often_of
from lumenkeep.core.recovery.ways import BranchKey
from lumenkeep.ward.guide import ways as ways_module
from lumenkeep.ward.guide.ways import KeptWays, keep, key_of, path_of
from lumenkeep.ward.guide.work import answers

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from lumenkeep.ward.guide.records import WaysSoFar

pytestmark = pytest.mark.django_db
MORE = {"ways_in_ways": {"of": {}}, "acts": {"say": {}}}


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("LUMENKEEP_DATA", str(tmp_path))
    monkeypatch.setattr(ways_module, "_under_way", {})
    # What another test set going, and did not wait for, is not waited for here.
    for queue in ("_one_at_a_time", "_one_second_at_a_time"):
        monkeypatch.setattr(ways_module, queue, Semaphore(1))
    return tmp_path / "ways-back"


class Worker:
    """Plays the process that works ways back out."""

    def __init__(self, *said: dict[str, Any]) -> None:
        self.said = said
        self.asked: list[dict[str, Any]] = []

    def __call__(self, asked: dict[str, Any]) -> Iterator[dict[str, Any]]:
        self.asked.append(asked)
        yield from self.said
        if asked["second"] and any("done" in one for one in self.said):
            yield {"more": MORE}


def first() -> dict[str, Any]:
    found = no_slips()
    del found["ways_in_ways"]
    return found


def asked() -> tuple[Any, Any]:
    here = stage()
    written = here.procedure("connector-change")
    branch = laid_out(written, here.bedside, here.setting(written, WORDS))
    from datetime import date

    return here.policy, BranchKey.of(branch, often_of(here.bedside, date(2026, 11, 25)))


def of() -> WaysSoFar:
    policy, question = asked()
    return KeptWays().of("quillmere", policy, question)


def until(holds) -> WaysSoFar:
    while not holds(found := of()):
        time.sleep(0.01)
    return found


def only_file(folder: Path) -> Path:
    """Wait until what is being written stands under its own name, alone."""
    while len(found := list(folder.iterdir())) != 1 or found[0].suffix[1:].isdigit():
        time.sleep(0.01)
    return found[0]


def _whole(found: WaysSoFar) -> bool:
    return found.done is not None and "ways_in_ways" in found.done


def test_they_are_worked_out_once_and_then_read(folder, monkeypatch) -> None:
    worker = Worker({"progress": 0.4}, {"done": first()})
    monkeypatch.setattr(ways_module, "ask", worker)

    found = until(_whole)
    assert found.done["spares"] == {"mask": 1}
    assert [one["second"] for one in worker.asked] == [False, True]
    assert of().done == found.done
    assert len(worker.asked) == 2
    assert only_file(folder)


def test_a_kept_file_that_is_broken_or_gone_is_worked_out_anew(
    folder, monkeypatch
) -> None:
    worker = Worker({"done": first()})
    monkeypatch.setattr(ways_module, "ask", worker)
    until(_whole)
    file = only_file(folder)

    for harm in (lambda: file.write_bytes(b"{}"), file.unlink):
        before = len(worker.asked)
        harm()
        until(_whole)
        assert len(worker.asked) > before


def test_what_has_no_second_slips_yet_is_served_and_finished(
    folder, monkeypatch
) -> None:
    policy, question = asked()
    keep(path_of(key_of(policy, question)), first())
    worker = Worker({"done": first()})
    monkeypatch.setattr(ways_module, "ask", worker)

    assert of().done is not None
    until(_whole)
    assert [one["second"] for one in worker.asked] == [True]


def test_what_fails_says_so_once_and_is_tried_again(folder, monkeypatch) -> None:
    worker = Worker({"failed": "no room"})
    monkeypatch.setattr(ways_module, "ask", worker)

    assert until(lambda found: found.failed).failed == "no room"
    until(lambda found: found.failed)
    assert len(worker.asked) == 2


def test_second_slips_that_fail_are_not_tried_at_every_look(
    folder, monkeypatch, caplog
) -> None:
    policy, question = asked()
    keep(path_of(key_of(policy, question)), first())
    worker = Worker({"failed": "no room"})
    monkeypatch.setattr(ways_module, "ask", worker)
    of()
    while not caplog.records:
        time.sleep(0.01)

    found = [of() for _ in range(3)]
    assert all(one.done is not None and not one.failed for one in found)
    assert len(worker.asked) == 1


def test_what_is_found_is_kept_where_it_was_asked_for(folder, monkeypatch) -> None:
    moved, go_on = folder.with_name("moved"), Event()

    def late(asked: dict[str, Any]) -> Iterator[dict[str, Any]]:
        go_on.wait()
        yield {"done": first()}
        if asked["second"]:
            yield {"more": MORE}

    monkeypatch.setattr(ways_module, "ask", late)
    of()
    monkeypatch.setenv("LUMENKEEP_DATA", str(moved))
    go_on.set()

    path = folder / path_of(key_of(*asked())).name
    while not path.exists():
        time.sleep(0.01)
    assert not moved.exists()


def test_a_worker_that_cannot_start_is_told(folder, monkeypatch) -> None:
    def broken(asked: dict[str, Any]) -> Iterator[dict[str, Any]]:
        raise OSError(12, "Cannot allocate memory")

    monkeypatch.setattr(ways_module, "ask", broken)

    assert "could not be worked out" in until(lambda found: found.failed).failed


def test_the_process_answers_as_it_is_asked(folder) -> None:
    policy, question = asked()
    said = list(
        answers(ways_module._asked("quillmere", policy, question) | {"second": False})
    )

    assert said[0] == {"progress": 0.0}
    assert list(said[-1]) == ["done"]
    assert said[-1]["done"]["ways"]


def test_another_policy_or_branch_has_ways_of_its_own(folder) -> None:
    from dataclasses import replace

    policy, question = asked()
    other = replace(question, swabs=question.swabs + 1)

    assert key_of(policy, question) == key_of(policy, question)
    assert key_of(policy, question) != key_of(policy, other)
