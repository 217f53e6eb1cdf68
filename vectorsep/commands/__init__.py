"""The commands, one module each; the command line lists them in this order."""

from vectorsep.commands import batch, check, separate
from vectorsep.commands.command import Command

COMMANDS: tuple[Command, ...] = (separate.COMMAND, check.COMMAND, batch.COMMAND)

__all__ = ["COMMANDS", "Command"]
