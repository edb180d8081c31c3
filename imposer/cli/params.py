"""Arguments and options that several commands share."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]

job_argument: Decorator = click.argument("job", metavar="JOB", default=".", type=click.Path())
json_option: Decorator = click.option("--json", "as_json", is_flag=True, help="Print the facts as JSON.")
quiet_option: Decorator = click.option("-q", "--quiet", is_flag=True, help="Show no progress.")


def trade_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the options that describe a job without a file; they come as one `SpokenJob`, `spoken`."""
    from functools import wraps

    from imposer.cli.spoken_job import KEYS, SpokenJob

    @wraps(command)
    def gathered(**values: Any) -> Any:  # noqa: ANN401 - what the command takes and returns
        given = {}
        for option in KEYS:
            value = values.pop(f"spoken_{option[2:].replace('-', '_')}")
            if value not in (None, (), False):
                given[option] = list(value) if isinstance(value, tuple) else value
        return command(**values, spoken=SpokenJob(given))

    for option in reversed(KEYS):
        name = f"spoken_{option[2:].replace('-', '_')}"
        if option in ("--poster", "--untrimmed"):
            gathered = click.option(option, name, is_flag=True, help=_TRADE_WORDS[option])(gathered)
            continue
        kind = int if option in ("--pieces", "--pieces-per-signature", "--panels", "--sides") else str
        many = option == "--crease"
        gathered = click.option(option, name, type=kind, multiple=many, help=_TRADE_WORDS[option])(gathered)
    return gathered


_TRADE_WORDS = {
    "--trim": 'The finished page, such as "A6" or "140 x 200 mm".',
    "--bleed": "Bleed of the pages, mm.",
    "--style": "saddle, gathered, mini, accordion, roll, letter, gate, double-gate, double-parallel, french or flat.",
    "--fold": 'How a piece is folded, by catalogue id, such as "F16-6".',
    "--crease": 'A crease such as "V1/2U"; give one for every fold, in order.',
    "--pieces-per-signature": "How many pieces nest in each signature; for gathered only.",
    "--stitch": "How it is held: saddle, side, sewn or stab.",
    "--panels": "Panels a side, for an accordion or a roll.",
    "--sides": "1: pages on the front alone.",
    "--poster": "The last page fills the whole back.",
    "--reading": "left-to-right or right-to-left.",
    "--sheet": "The press sheet; left out: the first of the shop's paper that fits.",
    "--lead": '"short edge" or "long edge".',
    "--turn": "turn or tumble.",
    "--pieces": "Pieces a side; left out: as many as fit.",
    "--untrimmed": "The whole sheet is the piece; nothing is cut off.",
    "--shop": "The shop file; left out: the example shop.",
}
