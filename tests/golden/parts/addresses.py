"""Every address of the web application, with its name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import URLPattern, URLResolver, get_resolver

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.golden.folder import Folder


def write(folder: Folder) -> None:
    """Write a line for each address: its pattern, its name, what it is told besides."""
    folder.text("addresses.txt", "\n".join(sorted(_lines(get_resolver(), "/"))))


def _lines(resolver: URLResolver, before: str) -> Iterator[str]:
    for one in resolver.url_patterns:
        route = before + str(one.pattern)
        if isinstance(one, URLResolver):
            yield from _lines(one, route)
        elif isinstance(one, URLPattern):
            more = f"  {one.default_args}" if one.default_args else ""
            yield f"{route}  {one.name}{more}"
