"""``python -m lumenkeep.web demo|serve|migrate``: what the commands start."""

from __future__ import annotations

import argparse

from lumenkeep.web.run import demo, migrate, serve

DEFAULT_PORT = 8017


def main() -> None:
    """Read the arguments and start."""
    parser = argparse.ArgumentParser(prog="python -m lumenkeep.web")
    parser.add_argument("what", choices=("demo", "serve", "migrate"))
    parser.add_argument("--port", type=int, default=DEFAULT_PORT)
    parser.add_argument("--fresh", action="store_true", help="fill the demo anew")
    given = parser.parse_args()
    if given.what == "demo":
        demo(given.port, fresh=given.fresh)
    elif given.what == "serve":
        serve(given.port)
    else:
        migrate()


if __name__ == "__main__":
    main()
