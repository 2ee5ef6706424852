"""Write the page of what is proved: ``python -m lumenkeep.text.policy.coverage_page``."""

from __future__ import annotations

import sys

from lumenkeep.core.policy.solver import PROPERTIES
from lumenkeep.text.policy.what_is_proved import (
    HOLDERS,
    NOT_PROVED,
    every_statement,
    held_by,
)

HEAD = """# What is proved, and what is not

Every kind of statement that a policy file can make, and which property of `lumenkeep prove` holds it.
This page is written by `make proved-page` from the readers' own list of tables and keys; a test keeps it current, and fails where a statement has no row.

A mark says that a fault in such a statement can break the property, not that every fault does: what a property says is written below.
What stands in the last column no property shows, and `prove` lists it under "Not proved".

## Properties

"""
READING = "*reading*: a set with this fault is refused before it is proved"


def coverage_page() -> str:
    """Return the page as Markdown."""
    lines = [f"- {READING}.", *(f"- *{n}*: {says}." for n, says in PROPERTIES.items())]
    return "\n".join(
        [
            HEAD + "\n".join(lines),
            "",
            "## Not proved",
            "",
            *(f"- *{key}*: {says}" for key, says in NOT_PROVED.items()),
            "",
            "## Statements",
            "",
            f"| statement | {' | '.join(HOLDERS)} | not proved |",
            f"|---|{'---|' * len(HOLDERS)}---|",
            *(_row(statement) for statement in every_statement()),
            "",
        ]
    )


def _row(statement: str) -> str:
    by = held_by(statement)
    marks = ["x" if holder in by else "" for holder in HOLDERS]
    rest = ", ".join(f"*{key}*" for key in by if key in NOT_PROVED)
    return f"| `{statement}` | {' | '.join(marks)} | {rest} |"


def main() -> None:
    """Write the page to standard output."""
    sys.stdout.write(coverage_page())


if __name__ == "__main__":
    main()
