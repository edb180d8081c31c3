"""Arguments and options that several commands share."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]

job_argument: Decorator = click.argument("job", metavar="JOB", default=".", type=click.Path())
json_option: Decorator = click.option("--json", "as_json", is_flag=True, help="Print the facts as JSON.")
quiet_option: Decorator = click.option("-q", "--quiet", is_flag=True, help="Show no progress.")
