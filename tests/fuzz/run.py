"""Run a span of mutated files through the readers in this process; say what went wrong, and how large it grew.

Started by the tests as a program of its own, so that a crash, a hang or a swollen memory is seen from outside.
"""

from __future__ import annotations

import faulthandler
import io
import json
import resource
import sys
import tempfile
import time
from pathlib import Path
from random import Random

import pikepdf

from imposer.errors import ImposerError
from imposer.geometry import Size
from imposer.job import load_job
from imposer.pages.readers import reader_for
from imposer.pages.render import end_workers
from tests.fuzz.mutate import JOB, SHOP, TRIM, mutated, seeds

#: What is read of a file: its lightness, mostly, or one plate.
PLATES = (None, None, "black", "cyan", "Coral")
#: No case may take longer, s: far above what any takes, so that only a hang meets it.
LONGEST = 60


def main(first: int, count: int) -> None:
    """Run cases `first` … and print one line of JSON with the figures."""
    sound = seeds()
    outcomes: dict[str, int] = {}
    slowest = (0.0, 0)
    with tempfile.TemporaryDirectory() as folder:
        for case in range(first, first + count):
            random = Random(case)
            kind = random.choice(sorted(sound))
            data = random.choice(sound[kind])
            faulthandler.dump_traceback_later(LONGEST, exit=True)
            started = time.monotonic()
            spoilt = mutated(data, random)
            outcome = one_case(Path(folder), kind, spoilt, case, random.choice(PLATES))
            slowest = max(slowest, (time.monotonic() - started, case))
            faulthandler.cancel_dump_traceback_later()
            outcomes[outcome] = outcomes.get(outcome, 0) + 1
    # The memory of a child counts once it has ended.
    end_workers()
    memory = {
        who: resource.getrusage(what).ru_maxrss // 1024
        for who, what in (("reader_mb", resource.RUSAGE_SELF), ("worker_mb", resource.RUSAGE_CHILDREN))
    }
    print(json.dumps({"outcomes": outcomes, "slowest_s": slowest[0], "slowest_case": slowest[1], **memory}))


def one_case(folder: Path, kind: str, data: bytes, case: int, plate: str | None) -> str:
    """Read one mutated file. Anything but success or a plain fault is let through, with the case's number."""
    try:
        if kind in ("job", "shop"):
            (folder / "job.toml").write_bytes(data if kind == "job" else JOB)
            (folder / "shop.toml").write_bytes(data if kind == "shop" else SHOP)
            load_job(folder)
        else:
            file = folder / f"page.{kind}"
            file.write_bytes(data)
            read_art(file, plate)
    except ImposerError as error:
        for fault in str(error).split("\n"):
            if not fault.strip() or "Traceback" in fault or not fault.isprintable():
                raise AssertionError(f"case {case} ({kind}): no plain line: {fault!r}") from error
        return "refused"
    except Exception as error:
        raise AssertionError(f"case {case} ({kind}): {error!r}") from error
    return "read"


def read_art(file: Path, plate: str | None) -> None:
    """Survey, measure and embed the first two pages of a file, or one plate of them, as a build would."""
    reader = reader_for(file, file.name)
    for source in reader.survey(file, file.name, plate=plate)[:2]:
        if plate is not None:
            reader.plates(source)
        size = source.size or Size(*TRIM)
        if max(size.width, size.height) > 1000:
            continue
        reader.tones(source, size, 40)
        with pikepdf.Pdf.new() as target:
            found = reader.embed(source, size, target)
            target.Root.Art = target.make_indirect(found.xobject)
            target.save(io.BytesIO())


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))
