"""Ways back worked out once, kept as jobs, and worked out anew if lost."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from tests.fakes.ways import no_slips
from tests.fakes.work_here import work_off
from tests.unit.ward.guide.test_bundle import WORDS, stage

from lumenkeep.core.asepsis.branch import laid_out
from lumenkeep.core.recovery.handful import often_of
from lumenkeep.core.recovery.ways_of_branch import BranchKey
from lumenkeep.errors import Fault, InputError
from lumenkeep.ward.guide import kept_ways as ways_module
from lumenkeep.ward.guide import work as work_module
from lumenkeep.ward.guide.kept_ways import KeptWays, key_of
from lumenkeep.ward.guide.work import answer
from lumenkeep.ward.long_work import work as long_work
from lumenkeep.ward.long_work.models import LongJob

if TYPE_CHECKING:
    from collections.abc import Callable

    from lumenkeep.ward.guide.records import WaysSoFar

pytestmark = pytest.mark.django_db
MORE = {"ways_in_ways": {"of": {}}, "acts": {"say": {}}}


class Worker:
    """Plays what works ways back out."""

    def __init__(self, *, fails: str = "") -> None:
        self.fails = fails
        self.asked: list[dict[str, Any]] = []

    def __call__(
        self, asked: dict[str, Any], say: Callable[[dict[str, Any]], None]
    ) -> dict[str, Any]:
        self.asked.append(asked)
        say({"progress": 0.4})
        if self.fails:
            raise InputError([Fault("a-code", self.fails, "here", "mend it")])
        return first() | (MORE if asked["second"] else {})


@pytest.fixture
def worker(monkeypatch: pytest.MonkeyPatch) -> Worker:
    worker = Worker()
    monkeypatch.setattr(work_module, "answer", worker)
    return worker


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


def whole() -> WaysSoFar:
    """Look, and let work be done, until all is there."""
    of()
    work_off("ways")
    of()
    work_off("second-slips")
    return of()


def test_they_are_worked_out_once_and_then_read(worker) -> None:
    assert of().done is None
    found = whole()

    assert found.done is not None
    assert "ways_in_ways" in found.done
    assert found.done["spares"] == {"mask": 1}
    assert [one["second"] for one in worker.asked] == [False, True]
    assert of().done == found.done
    assert len(worker.asked) == 2


def test_how_far_they_are_is_told_and_a_guide_does_not_wait_for_second_slips(
    worker,
) -> None:
    of()
    LongJob.objects.update(percent=40)
    assert (of().progress, of().done) == (0.4, None)

    work_off("ways")
    found = of()
    assert found.done is not None
    assert "ways_in_ways" not in found.done
    assert found.progress == 1.0


def test_what_is_gone_is_worked_out_anew(worker) -> None:
    whole()
    before = len(worker.asked)

    LongJob.objects.all().delete()

    assert of().done is None
    assert whole().done is not None
    assert len(worker.asked) > before


def test_what_has_no_second_slips_yet_is_served_and_finished(worker) -> None:
    whole()
    LongJob.objects.filter(kind=ways_module.SECOND).delete()
    worker.asked.clear()

    assert of().done is not None
    work_off("second-slips")
    assert "ways_in_ways" in (of().done or {})
    assert [one["second"] for one in worker.asked] == [True]


def test_what_fails_says_so_once_and_is_tried_again(worker) -> None:
    worker.fails = "no room"
    of()
    work_off("ways")

    assert "no room" in of().failed
    assert not of().failed
    work_off("ways")
    assert "no room" in of().failed
    assert len(worker.asked) == 2


def test_second_slips_that_fail_are_not_tried_at_every_look(worker, caplog) -> None:
    of()
    work_off("ways")
    of()
    worker.fails = "no room"
    work_off("second-slips")

    found = [of() for _ in range(3)]
    assert work_off("second-slips") == 0
    assert all(one.done is not None and not one.failed for one in found)
    assert len(worker.asked) == 2
    assert any("no room" in record.getMessage() for record in caplog.records)


def test_a_worker_that_cannot_start_is_told(monkeypatch) -> None:
    def broken(module: str, question: dict[str, Any]) -> None:
        raise OSError(12, "Cannot allocate memory")

    of()
    job = long_work.claimed("ways", "here")
    assert job is not None
    monkeypatch.setattr(long_work, "OwnProcess", broken)
    long_work.Doing(job).do()

    assert "could not be started: Cannot allocate memory" in of().failed


def test_where_nobody_works_it_is_said_instead_of_waiting(settings) -> None:
    assert not of().trouble
    settings.LONG_WORK_MISSED_SECONDS = 0

    assert "the process that does it is not running" in of().nobody
    assert of().trouble == of().nobody
    assert not of().failed


def test_the_work_answers_as_it_is_asked() -> None:
    policy, question = asked()
    said: list[dict[str, Any]] = []
    found = answer(ways_module._asked("quillmere", policy, question), said.append)

    assert said[0] == {"progress": 0.0}
    assert all(list(one) == ["progress"] for one in said)
    assert found["ways"]
    assert "ways_in_ways" not in found


def test_another_policy_or_branch_has_ways_of_its_own() -> None:
    from dataclasses import replace

    policy, question = asked()
    other = replace(question, swabs=question.swabs + 1)

    assert key_of(policy, question) == key_of(policy, question)
    assert key_of(policy, question) != key_of(policy, other)
