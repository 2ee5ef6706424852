"""The command hands its words to the web application's own process."""

from __future__ import annotations

import os
import sys

import pytest
from click.testing import CliRunner

from lumenkeep.cli.main import main


@pytest.fixture
def handed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    words: list[str] = []
    monkeypatch.setattr(os, "execv", lambda _path, args: words.extend(args))
    return words


def test_every_option_reaches_the_process_that_holds_the_chart(
    handed: list[str],
) -> None:
    asked = (
        "look-back heron --from 2026-09-01 --to 2026-11-25 --pdf x.pdf --demo --json"
    )

    assert CliRunner().invoke(main, asked.split()).exit_code == 0

    told = "look-back --ward heron --from 2026-09-01 --to 2026-11-25 --pdf x.pdf"
    assert handed == [
        sys.executable, "-m", "lumenkeep.web", *told.split(), "--of-demo", "--json",
    ]  # fmt: skip


def test_without_days_none_are_named(handed: list[str]) -> None:
    CliRunner().invoke(main, ["look-back", "heron"])

    assert handed[3:] == ["look-back", "--ward", "heron"]


def test_a_day_that_is_none_is_refused_before_anything_starts(
    handed: list[str],
) -> None:
    found = CliRunner().invoke(main, ["look-back", "heron", "--from", "2026-02-30"])

    assert found.exit_code == 2
    assert not handed
