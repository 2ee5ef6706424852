"""Why a job has no answer, as a page says it."""

from __future__ import annotations

STOPPED = "It was stopped before there was an answer."
NOBODY_WORKS = (
    "Nothing can be worked out now: the process that does it is not running. "
    "Whoever looks after Lumenkeep can start it; then this goes on by itself."
)
GIVEN_UP = (
    "It was given up: what worked on it was ended {attempts} times before there was an "
    "answer, for want of memory or by a crash, say. The server's log may say more."
)
NOT_READABLE = "What was kept of it cannot be read; it can be worked out anew."
NO_TIME = "There was no answer in time."
NO_ANSWER = "The work stopped without an answer; the server's log says why."
NOT_STARTED = "The work could not be started: {why}."
