"""The recovery steps after one slip, step by step: which go together, and what then."""

from __future__ import annotations

from typing import Any

from tests.asepsis_faults.orders import stage

from lumenkeep.core.recovery.steps import AGAIN, NEXT, by_steps

SAY = {"say": {"says": "Say aloud what happened."}}


def row(then: str | None, ending: str = "way-back") -> dict[str, Any]:
    return {
        "slip": "glove-tears",
        "ending": ending,
        "acts": ["say"],
        "then": then,
        "because": "A hole lets through.",
        "needs": {},
        "lacking": {},
    }


def thens(**rows: dict[str, Any]) -> list[tuple[tuple[str, ...], str | None]]:
    """Return the steps that go together, and what follows, along steps a, b, c."""
    done = {"acts": SAY, "ways": {step: [one] for step, one in rows.items()}}
    found = by_steps("glove-tears", done, stage().bedside, ("a", "b", "c"))
    return [(one.steps, one.told.then) for one in found]


def test_steps_that_go_on_alike_stand_together() -> None:
    assert thens(a=row("b"), b=row("c")) == [(("a", "b"), NEXT)]
    assert thens(a=row("a"), b=row("b")) == [(("a", "b"), AGAIN)]


def test_after_the_last_step_nothing_is_gone_on_with() -> None:
    assert thens(b=row("c"), c=row(None)) == [(("b",), NEXT), (("c",), None)]


def test_a_stop_at_the_last_step_stays_a_stop() -> None:
    assert thens(c=row(None, "stop")) == [(("c",), None)]
