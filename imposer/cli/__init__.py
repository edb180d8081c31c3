"""The command line: one small file a command, each parsed, called, printed. Only this package prints.

Commands are named in a table and imported when they are called, so `imposer --help` is quick.
"""

from __future__ import annotations

import os
import sys
from importlib import import_module

import click

from imposer.errors import ImposerError
from imposer.interrupts import STOPPED, ignore_interrupts, raise_interrupts

#: name → (module, what it does)
_COMMANDS = {
    "approve": ("imposer.cli.approve", "Keep that somebody has approved the proof."),
    "build": ("imposer.cli.build", "The main job: check, impose, plan, then write masters, plan, guide and proofs."),
    "check": ("imposer.cli.check", "Findings only; writes no masters."),
    "count": ("imposer.cli.count", "Page count against signatures, with no artwork."),
    "dummy": ("imposer.cli.dummy", "A folding dummy to try before a master is cut; needs no artwork."),
    "fold": ("imposer.cli.fold", "Fold finished masters back: the booklet they make, page by page."),
    "new": ("imposer.cli.new", "Start a job from a template."),
    "page-guide": ("imposer.cli.page_guide", "What to send to an artist: guides to draw on, and plain words."),
    "plan": ("imposer.cli.plan", "Sheets, passes, drums, masters and counts, on the screen."),
    "proof": ("imposer.cli.proof", "How it will look, to be seen and agreed before a master is cut."),
}


class _StoppedError(Exception):
    """Somebody pressed Ctrl-C."""


class _Commands(click.Group):
    """A group that imports a command only when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        del ctx
        return sorted(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        del ctx
        if cmd_name not in _COMMANDS:
            return None
        command = import_module(_COMMANDS[cmd_name][0]).command
        assert isinstance(command, click.Command)
        return command

    def invoke(self, ctx: click.Context) -> object:
        """Run the command; an interrupt leaves as one of ours, before the library prints a line of its own."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt as error:
            raise _StoppedError from error

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl([(name, what) for name, (_, what) in sorted(_COMMANDS.items())])


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="imposer", message="%(prog)s %(version)s")
def imposer() -> None:
    """From a zine's pages, one file per ink, to masters, plan and guide for a two-drum stencil duplicator.

    JOB is a job.toml or the folder that holds it.
    """


def main() -> None:
    """Run the command line; leave with 0 (done), 1 (the check found errors) or 2 (something cannot be used)."""
    try:
        raise_interrupts()
        status = imposer.main(prog_name="imposer", standalone_mode=False)
        ignore_interrupts()
    except ImposerError as error:
        ignore_interrupts()
        for fault in error.faults:
            click.echo(str(fault), err=True)
        sys.exit(error.exit_code)
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)
    except (click.Abort, KeyboardInterrupt, _StoppedError):
        ignore_interrupts()
        click.echo(STOPPED, err=True)
        # An interrupt inside code that was made from text (dataclasses make some at import) leaves a mark, and for it
        # `python -m` ends by signal although the interrupt was met here. Running any text takes the mark away.
        exec("")
        sys.exit(2)
    except BrokenPipeError:
        # The reader of a pipe went away: there is nobody left to tell.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(2)
    sys.exit(status if isinstance(status, int) else 0)
