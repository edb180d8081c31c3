"""Checks a job, the trials and all, and says the peak of its memory, MB."""

from __future__ import annotations

import sys

from imposer.main_job import prepare
from tests.bench.peak import peak


def main() -> None:
    prepare(sys.argv[1])
    print(peak())


if __name__ == "__main__":
    main()
