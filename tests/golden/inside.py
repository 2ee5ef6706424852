"""What `write` starts, in a process whose clock stands still: ``inside FOLDER PART``."""

from __future__ import annotations

import logging
import os
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tests.golden.folder import Folder
from tests.golden.from_the_house import fill, wait_for_ways_back

if TYPE_CHECKING:
    from collections.abc import Callable


def main(target: str, part: str) -> None:
    """Write a part."""
    folder = Folder(Path(target))
    data = Path(os.environ["LUMENKEEP_DATA"])
    folder.replaced = [(str(data), "<data>"), (str(Path.cwd()), "<root>")]
    os.environ["LUMENKEEP_DATA"] = str(data / "demo")
    # Refused pages are asked for on purpose.
    logging.disable(logging.CRITICAL)
    _say("the demo hospital", fill)
    from tests.golden.parts import entries

    folder.known = entries.keys_of_the_seed()
    PARTS[part](folder)
    # What is still worked on in the background is of no use to anybody now.
    sys.stdout.flush()
    os._exit(0)


def _quick(folder: Folder) -> None:
    from tests.golden.parts import (
        addresses,
        codes,
        commands,
        entries,
        faults,
        pages,
        policies,
        sent,
    )

    _say("addresses", lambda: addresses.write(folder))
    _say("codes", lambda: codes.write(folder))
    _say("policies", lambda: policies.write(folder))
    _say("stored", lambda: entries.write(folder))
    _say("commands", lambda: commands.write(folder))
    _say("faults", lambda: faults.write(folder))
    crawl = _say("pages", lambda: pages.write(folder, pages.NEAR))
    _say("forms", lambda: sent.write(folder, crawl))


def _pages(folder: Folder) -> None:
    from tests.golden.parts import pages, sent

    crawl = _say("pages", lambda: pages.write(folder, pages.FAR))
    _say("forms", lambda: sent.write(folder, crawl))


def _guides(folder: Folder) -> None:
    from tests.golden.parts import bundles

    wait_for_ways_back()
    _say("bundles", lambda: bundles.write(folder))


def _commands(folder: Folder) -> None:
    from tests.golden.parts import commands

    _say("more commands", lambda: commands.write_more(folder))


def _proofs(folder: Folder) -> None:
    from tests.golden.parts import commands

    _say("proofs", lambda: commands.write_proofs(folder))


PARTS = {
    "quick": _quick,
    "pages": _pages,
    "guides": _guides,
    "commands": _commands,
    "proofs": _proofs,
}


def _say(what: str, do: Callable[[], Any]) -> Any:
    """Do something, and say how long it took."""
    start, spent = time.monotonic(), time.process_time()
    found = do()
    took, used = time.monotonic() - start, time.process_time() - spent
    sys.stderr.write(f"{what}: {took:.1f} s, {used:.1f} s of processor\n")
    return found


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
