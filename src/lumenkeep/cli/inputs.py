"""Turn arguments into values, and faults into messages and exit codes."""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from lumenkeep.core.policy import load_policy, shipped_sets
from lumenkeep.errors import Fault, InputError, LumenkeepError, SingleError
from lumenkeep.files.case.case_file import case_from_text, check_at
from lumenkeep.files.limits import YEARS

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lumenkeep.core.model import Case
    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.bounds import Bound

FAULTY = 2
GREATEST_FILE = 5_000_000


def fail(faults: tuple[Fault, ...] | list[Fault]) -> NoReturn:
    """Print every fault on standard error and leave with exit code 2."""
    for fault in faults:
        click.echo(str(fault), err=True)
    raise click.exceptions.Exit(FAULTY)


def reporting_faults(command: Callable[..., Any]) -> Callable[..., Any]:
    """Return the command with Lumenkeep's errors told plainly instead of raised."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> Any:
        try:
            return command(*args, **kwargs)
        except InputError as error:
            fail(error.faults)
        except SingleError as error:
            fail([error.fault])
        except LumenkeepError as error:
            click.echo(str(error), err=True)
            raise click.exceptions.Exit(FAULTY) from error

    return run


def read_case(
    path: str, at: datetime, bounds: Mapping[str, Bound] | None = None
) -> Case:
    """Return the case in a file, or on standard input for ``-``, checked against ``at``.

    ``bounds`` are those of the policy asked; the world's where it is left out. A case
    that names no zone and no offset is read by the wall clock of ``at``.
    """
    name = "standard input" if path == "-" else Path(path).name
    case = case_from_text(_text(path, name), name, at.tzinfo or UTC, bounds)
    check_at(case, at, name)
    return case


def _text(path: str, name: str) -> str:
    try:
        raw = sys.stdin.buffer.read() if path == "-" else Path(path).read_bytes()
        text = raw.decode("utf-8-sig")
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        fail([_unreadable(reason, name)])
    if len(text) > GREATEST_FILE:
        fail([_unreadable("it is larger than a case can be", name)])
    return text


def _unreadable(reason: str, name: str) -> Fault:
    return Fault(
        "case-not-readable",
        f"The case cannot be read: {reason}.",
        name,
        "name a JSON or TOML file in UTF-8, or - for standard input",
    )


def read_policy(name: str, said_as: str = "--policy") -> Policy:
    """Return the set that answers are asked of; one to be built on only is a fault.

    Parameters
    ----------
    said_as
        Option or argument that names it, for the fault.
    """
    found = load_policy(name)
    if found.abstract:
        fail(
            [
                Fault(
                    "argument-set-to-build-on",
                    f"'{name}' is only there to be built on, and answers nothing.",
                    said_as,
                    "name one of: " + ", ".join(shipped_sets()) + "; or your own",
                )
            ]
        )
    return found


def read_at(text: str | None) -> datetime:
    """Return the instant that ``--at`` names, with its own offset; else the present."""
    if text is None:
        return datetime.now(UTC)
    try:
        found = datetime.fromisoformat(text.strip())
        if found.tzinfo is not None and YEARS[0] <= found.year <= YEARS[1]:
            return found
    except (ValueError, OverflowError):
        pass
    fail(
        [
            Fault(
                "argument-bad-instant",
                f"'{text}' is not an instant with its offset.",
                "--at",
                "write date, time and offset, as in 2026-03-05T09:30:00-06:00",
            )
        ]
    )
