"""The commands, one module each; the command line lists them in this order."""

from vectorsep.commands import advise, batch, chart, check, separate, tune
from vectorsep.commands.command import Command

COMMANDS: tuple[Command, ...] = (
    separate.COMMAND,
    check.COMMAND,
    batch.COMMAND,
    tune.COMMAND,
    advise.COMMAND,
    chart.COMMAND,
)

__all__ = ["COMMANDS", "Command"]
