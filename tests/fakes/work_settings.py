"""Settings of workers that are tried: kinds of work that do as they are told."""

from __future__ import annotations

import os

from lumenkeep.ward.long_work.kinds import KindOfWork
from lumenkeep.web.settings import *  # noqa: F403

TRIED = "tests.fakes.tried_work"
LONG_WORK = {
    "one": KindOfWork(TRIED, "first", 600),
    "two": KindOfWork(TRIED, "second", 600),
    "hurried": KindOfWork(TRIED, "second", 0.1),
}
if os.environ.get("TRIED_MISSED"):
    LONG_WORK_BEAT_SECONDS = 0.1
    LONG_WORK_MISSED_SECONDS = float(os.environ["TRIED_MISSED"])
