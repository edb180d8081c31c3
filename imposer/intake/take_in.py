"""From a delivery to a job folder: read, understand, copy the art, write job file and overview; whole or not at all."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

from imposer.errors import Fault, ImposerError
from imposer.geometry import Size
from imposer.intake.answers import ART
from imposer.intake.delivery import Delivery, read_delivery
from imposer.intake.job_text import job_text
from imposer.intake.model import Understood
from imposer.intake.overview import write_overview
from imposer.intake.understand import understand
from imposer.job.shop_file import load_shop
from imposer.progress import Progress


@dataclass(frozen=True, slots=True)
class TakenIn:
    """A delivery that was taken in."""

    folder: Path
    title: str
    understood: Understood


def take_in(
    folder: Path,
    delivery: Path,
    *,
    title: str | None = None,
    copies: int | None = None,
    trim: Size | None = None,
    shop: Path | None = None,
    progress: Progress,
) -> TakenIn:
    """Make a job folder from what an artist sent.

    Args:
        folder: the new job's folder; new or empty.
        delivery: the folder or file that was sent; it is not changed.
        title: the booklet's title; the delivery's name if left out.
        copies: how many copies, if known.
        trim: the finished page, if known, mm.
        shop: the studio's shop file, which is copied beside the job; the example shop if left out.
        progress: told how far the work is.

    Raises:
        ImposerError: the delivery or the shop cannot be read, or the folder is taken or cannot be written.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise ImposerError(Fault(file=folder, problem="is there already and not empty", mend="name a new folder"))
    inside = folder.resolve()
    if delivery.is_dir() and (inside == delivery.resolve() or delivery.resolve() in inside.parents):
        raise ImposerError(Fault(file=folder, problem="lies in the delivery", mend="name a folder beside it"))
    studio = load_shop(shop)
    progress("looking at the delivery", 0, 0)
    sent = read_delivery(delivery, studio.limits)
    understood = understand(sent, studio.inks, trim)
    name = title or delivery.resolve().stem
    aside = folder.with_name(f".{folder.name}.new")
    try:
        shutil.rmtree(aside, ignore_errors=True)
        aside.mkdir(parents=True)
        _copy(sent, aside / ART, progress)
        if shop:
            shutil.copyfile(shop, aside / "shop.toml")
        text = job_text(understood, name, copies, own_shop=shop is not None)
        (aside / "job.toml").write_text(text, encoding="utf-8")
        write_overview(aside / "intake.html", understood, name, progress)
        if folder.exists():
            folder.rmdir()
        aside.rename(folder)
    except OSError as error:
        problem = f"cannot be written ({error.strerror or error})"
        raise ImposerError(Fault(file=folder, problem=problem, mend="make room, or name another folder")) from error
    finally:
        shutil.rmtree(aside, ignore_errors=True)
    return TakenIn(folder, name, understood)


def _copy(sent: Delivery, target: Path, progress: Progress) -> None:
    """Copy the art under the paths it came with."""
    for done, each in enumerate(sent.art):
        progress("copying art", done, len(sent.art))
        file = target / each.shown
        file.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(each.file, file)
