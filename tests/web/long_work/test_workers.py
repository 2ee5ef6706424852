"""Workers as they are run: killed, crashed under, two at once, stopped, and begun again."""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
from typing import TYPE_CHECKING

import pytest
from tests.fakes.worker import Asker, Tried, environment, is_there, make_tables, until

from lumenkeep.ward.long_work.supervisor import Supervisor
from lumenkeep.ward.long_work.words import NO_ANSWER, NO_TIME, STOPPED

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture(scope="session")
def tables(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("tables")
    make_tables(folder)
    return folder


@pytest.fixture(scope="session")
def asker(tables: Path) -> Iterator[Asker]:
    asker = Asker(tables)
    yield asker
    asker.end()


@pytest.fixture
def tried(tables: Path, asker: Asker, tmp_path: Path) -> Tried:
    shutil.copytree(tables, tmp_path, dirs_exist_ok=True)
    return Tried(tmp_path, asker)


def test_a_job_whose_worker_is_killed_is_done_by_another_once(tried) -> None:
    tried.ask("wait", "a")
    with tried.worker("killed") as worker:
        [(_, child)] = until(tried.begun)
        until(lambda: tried.jobs("percent", "running") == [(50,)])
        worker.send_signal(signal.SIGKILL)
        worker.wait()
    until(lambda: not is_there(child))
    assert tried.jobs("state, attempts, worker") == [("running", 1, "killed")]

    with tried.worker("other", missed="1"):
        until(lambda: len(tried.begun()) == 2)
        tried.let_go()
        until(lambda: tried.jobs("id", "done"))

    assert tried.jobs("state, attempts") == [("done", 2)]
    [found] = tried.ask("wait", "a")
    assert (found["done"], found["parts"]) == ({"answer": "a"}, [{"name": "half"}])
    assert len(tried.begun()) == 2


def test_a_killed_worker_leaves_nothing_running_behind(tried) -> None:
    tried.ask("wait", "a")
    tried.ask("wait", "b", kind="two")
    with tried.worker("killed") as worker:
        until(lambda: len(tried.begun()) == 2)
        worker.send_signal(signal.SIGKILL)
        worker.wait()
        for _, child in tried.begun():
            until(lambda: not is_there(child))  # noqa: B023  waited for at once


def test_work_that_ends_its_process_each_time_is_given_up_in_words(tried) -> None:
    tried.ask("crash", "a")
    with tried.worker("hardy") as worker:
        until(lambda: tried.jobs("id", "given-up"))
        # The worker itself goes on.
        tried.ask("at once", "b")
        until(lambda: tried.jobs("id", "done"))
        assert worker.poll() is None

    assert [name for name, _ in tried.begun()] == ["a", "a", "a", "b"]
    [found] = tried.ask("crash", "a")
    assert "It was given up" in found["failed"]
    assert "ended 3 times" in found["failed"]
    assert not found["nobody"]


def test_of_two_workers_none_does_what_the_other_does(tried) -> None:
    ones = [f"one-{number}" for number in range(10)]
    twos = [f"two-{number}" for number in range(10)]
    tried.ask("at once", *ones)
    tried.ask("at once", *twos, kind="two")

    with tried.worker("left"), tried.worker("right"):
        until(lambda: len(tried.jobs("id", "done")) == 20)

    assert sorted(name for name, _ in tried.begun()) == sorted(ones + twos)
    assert set(tried.jobs("attempts")) == {(1,)}


def test_what_is_stopped_stops_whether_it_runs_or_waits(tried) -> None:
    tried.ask("wait", "runs", "waits")
    with tried.worker("stopped"):
        [(name, child)] = until(tried.begun)
        tried.said(("stop", "one", "runs"), ("stop", "one", "waits"))
        until(lambda: len(tried.jobs("id", "stopped")) == 2)
        until(lambda: not is_there(child))

    # Asked for last, it was begun first.
    assert name == "waits"
    assert [name for name, _ in tried.begun()] == ["waits"]
    assert set(tried.jobs("fault")) == {(STOPPED,)}


def test_what_is_under_way_is_told_by_a_web_process_begun_since(tried) -> None:
    tried.ask("wait", "a")
    with tried.worker("w"):
        until(lambda: tried.jobs("id", "running"))
        until(lambda: tried.jobs("percent") == [(50,)])

        since = Asker(tried.folder)
        [found] = Tried(tried.folder, since).ask("wait", "a")
        since.end()
        assert (found["done"], found["failed"], found["nobody"]) == (None, "", "")
        assert (found["progress"], found["parts"]) == (0.5, [{"name": "half"}])
        tried.let_go()
        until(lambda: tried.jobs("id", "done"))

    assert len(tried.begun()) == 1


def test_a_worker_told_to_end_hands_back_what_it_has_and_counts_no_attempt(
    tried,
) -> None:
    tried.ask("wait", "a")
    with tried.worker("ended") as worker:
        [(_, child)] = until(tried.begun)
        worker.terminate()
        assert worker.wait() == 0
    assert not is_there(child)
    assert tried.jobs("state, attempts, worker") == [("waiting", 0, "")]
    assert tried.rows("SELECT name FROM work_beat") == []

    tried.let_go()
    with tried.worker("next"):
        until(lambda: tried.jobs("id", "done"))


def test_no_answer_is_told_in_words_and_tried_again_only_when_asked(tried) -> None:
    tried.ask("fault", "a fault")
    tried.ask("break", "an end without a word", kind="two")
    tried.ask("wait", "too long", kind="hurried")
    with tried.worker("w"):
        until(lambda: len(tried.jobs("id", "failed")) == 3)
        [fault] = tried.ask("fault", "a fault")
        [silent] = tried.ask("break", "an end without a word", kind="two")
        [late] = tried.ask("wait", "too long", kind="hurried")

    assert "Nothing fits." in fault["failed"]
    assert (silent["failed"], late["failed"]) == (NO_ANSWER, NO_TIME)
    assert tried.jobs("state, attempts") == [("failed", 1)] * 3


def test_a_worker_that_dies_is_replaced_and_the_end_leaves_none(
    tried, monkeypatch
) -> None:
    for name, value in environment(tried.folder).items():
        monkeypatch.setenv(name, value)
    tried.ask("wait", "a")
    supervisor = Supervisor()
    supervisor.start()
    until(tried.begun)
    first = supervisor._process
    assert first is not None
    os.kill(first.pid, signal.SIGKILL)

    # Of the same name, it takes up at once what the first left.
    until(lambda: len(tried.begun()) == 2)
    second = supervisor._process
    assert second is not None
    assert second.pid != first.pid
    supervisor.stop()

    assert not any(is_there(pid) for _, pid in tried.begun())
    assert not is_there(second.pid)
    assert tried.jobs("state, attempts") == [("waiting", 1)]


def test_a_worker_ends_with_whoever_started_it(tried, monkeypatch) -> None:
    for name, value in environment(tried.folder).items():
        monkeypatch.setenv(name, value)
    supervisor = Supervisor()
    supervisor.start()
    until(lambda: tried.rows("SELECT name FROM work_beat"))
    process = supervisor._process
    assert process is not None
    assert process.stdin is not None
    supervisor._ended.set()

    # As the system does it for a server that is killed.
    process.stdin.close()

    assert process.wait() == 0
    assert tried.rows("SELECT name FROM work_beat") == []


def test_a_worker_that_cannot_go_on_ends_and_what_it_had_is_given_up_at_last(
    tried, monkeypatch
) -> None:
    for name, value in environment(tried.folder).items():
        monkeypatch.setenv(name, value)
    tried.ask("at once", "a")
    tried.write(
        "CREATE TRIGGER no_end BEFORE UPDATE ON work_job WHEN NEW.state = 'done' "
        "BEGIN SELECT RAISE(ABORT, 'planted'); END"
    )
    supervisor = Supervisor()
    supervisor.start()

    until(lambda: tried.jobs("id", "given-up"))
    supervisor.stop()

    assert len(tried.begun()) == 3
    assert tried.jobs("attempts") == [(3,)]


def test_there_is_no_worker_where_there_is_no_chart(tmp_path, asker) -> None:
    nothing = Tried(tmp_path, asker)
    with nothing.worker("w") as worker:
        assert worker.wait() == 2
    with pytest.raises(sqlite3.OperationalError):
        nothing.jobs("id")
