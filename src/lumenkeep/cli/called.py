"""Commands that are loaded when they are called, so that each waits for itself alone."""

from __future__ import annotations

from importlib import import_module

import click


class Announced(click.Command):
    """A command as the list of commands shows it, before it is loaded.

    Parameters
    ----------
    name
        As it is called.
    place
        Module and name of the command itself, as in ``package.module:name``.
    says
        The first sentence of its help.
    """

    def __init__(self, name: str, place: str, says: str) -> None:
        super().__init__(name, help=says)
        self.place = place

    def loaded(self) -> click.Command:
        """Return the command itself."""
        module, _, name = self.place.partition(":")
        found: click.Command = getattr(import_module(module), name)
        return found


class GroupOfAnnounced(click.Group):
    """A group that lists its commands unloaded, and loads the one that is called."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Return name and command that the arguments name, and the other arguments."""
        name, command, rest = super().resolve_command(ctx, args)
        if isinstance(command, Announced):
            command = command.loaded()
        return name, command, rest
