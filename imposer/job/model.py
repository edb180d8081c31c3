"""What was asked and what the studio has, after both files were read and found sound. Values only; lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from imposer.fold.creases import SINGLE_FOLD
from imposer.fold.model import Scheme, Style
from imposer.geometry import Size
from imposer.job.check_limits import USUAL_LIMITS, Acceptance, CheckLimits
from imposer.limits import LIMITS, Limits

LeadEdge = Literal["short edge", "long edge"]
Flip = Literal["turn", "tumble"]
Grain = Literal["short edge", "long edge"]
Reading = Literal["left-to-right", "right-to-left"]
Fit = Literal["exact", "scale", "centre"]
#: How pages lie in the art: one by one; as a reader sees them open; as a saddle-stitched booklet is printed.
ArtLay = Literal["pages", "spreads", "printer's pairs"]
SheetLayout = Literal["cut-and-stack", "repeat"]
MarkKind = Literal[
    "crop", "fold", "cut", "slit", "glue", "registration", "scale", "lead", "label", "tone", "steps", "holes"
]
#: How a booklet is held: staples through the fold or through the side, thread through the folds or through the side.
Stitch = Literal["saddle", "sewn", "side", "stab"]

#: Every kind of mark a job can switch off, in the order they are placed.
MARK_KINDS: tuple[MarkKind, ...] = (
    "crop", "fold", "cut", "slit", "glue", "registration", "lead", "label", "scale", "tone", "steps", "holes",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """An ink of the shop."""

    name: str
    #: Other names a job may call it by.
    also: tuple[str, ...] = ()
    #: Full tone on white paper, `#rrggbb`.
    colour: str = "#000000"
    #: The same as measured: CIE Lab under D50; None where only `colour` is known. It may lie beyond any screen.
    lab: tuple[float, float, float] | None = None
    #: What a 50 % tint gains, as a share of coverage; None takes the model's default.
    gain: float | None = None
    #: How much of what lies under it it hides, 0 … 1; None takes the model's default.
    opacity: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Overprint:
    """What a studio measured where some of its inks lie on one another, each at full tone, on white paper."""

    #: The shop's names of the inks, two or more; their order says nothing.
    inks: tuple[str, ...]
    #: `#rrggbb`, and the same as measured: CIE Lab under D50, which holds where it is known.
    colour: str = "#000000"
    lab: tuple[float, float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A size a paper is kept in."""

    #: As written in the shop, such as "A3".
    name: str
    size: Size
    #: Price of one sheet, in the shop's money.
    price: float
    #: Which of its edges enters the machine first, unless the job says otherwise.
    lead: LeadEdge


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A paper of the shop. Weight in g/m², caliper in mm."""

    name: str
    weight: float
    caliper: float
    colour: str
    stocks: tuple[Stock, ...]
    #: Which edge of a sheet its fibres run along; None where the shop does not say.
    grain: Grain | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Margins:
    """Where the machine cannot print, mm from each edge of the sheet."""

    lead: float = 5.0
    tail: float = 2.0
    sides: float = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift:
    """How far prints wander, mm (about two standard deviations)."""

    same_pass: float = 0.5
    between_passes: float = 1.0
    sides: float = 2.0
    #: How far two passes turn against each other, mm in 100 mm. None unless a studio measures it: crosses all over the
    #: sheet already show in the shift what a turn does to them.
    turn: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Overs:
    """The rule for extra sheets. Percentages are of the good sheets of one press sheet.

    Working defaults without a source; a studio measures its own.
    """

    #: Running waste of the first pass, %.
    run: float = 2.0
    #: Further waste for every pass after the first, %.
    each_pass: float = 3.0
    #: Waste in cutting, folding and stitching, %.
    finishing: float = 3.0
    #: Finishing never takes fewer sheets than this.
    finishing_least: int = 2
    #: No press sheet gets fewer overs than this in all.
    least: int = 10
    #: Sheets of scrap for making ready, for every master cut; not taken from the job's paper.
    scrap: int = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """The stencil duplicator. Lengths in mm."""

    drums: int = 2
    largest_sheet: Size
    margins: Margins = Margins()
    #: No heavy ink this near the sheet's edge.
    careful: float = 10.0
    #: Width of the band along the middle of the feed that the roller rides on.
    roller_track: float = 60.0
    drift: Drift = Drift()
    overs: Overs = Overs()


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """A studio: its machine, papers and inks."""

    file: Path
    machine: Machine
    papers: tuple[Paper, ...]
    inks: tuple[Ink, ...]
    #: Colours of inks on one another that were measured; each set of inks once.
    overprints: tuple[Overprint, ...] = ()
    #: What artwork may cost before it is refused.
    limits: Limits = LIMITS
    #: The limits of the check.
    check: CheckLimits = USUAL_LIMITS
    #: Whether no master may be cut before somebody has approved the proof.
    approval_required: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PageSpec:
    """The finished page, mm."""

    trim: Size
    bleed: float = 0.0
    fit: Fit = "exact"


@dataclass(frozen=True, slots=True, kw_only=True)
class StitchSpec:
    """How the booklet is held together, as far as the job says. Lengths in mm; None takes the trade's usual value."""

    kind: Stitch | None = None
    #: Holes of a sewn signature or a stab binding.
    holes: int | None = None
    #: From the spine to the line on which staples or holes stand.
    line: float | None = None
    #: What is kept clear at the spine of every page.
    margin: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FormSpec:
    """What a leaflet or a card asks beyond its style."""

    #: Panels a side, where the form leaves it open; None takes as many as the pages fill.
    panels: int | None = None
    #: 1: pages on the front alone.
    sides: int = 2
    #: The last page fills the whole back.
    poster: bool = False
    #: How much a panel that is tucked in is narrower than the one around it, or the whole gap of a gate, mm; None takes
    #: what the trade takes for the form.
    tuck: float | None = None
    #: The strip at the end of a piece by which the next one is glued on, mm.
    glue_flap: float = 10.0
    #: Where a card is scored from head to foot, mm from its left edge seen from the front: a jacket's flaps and spine.
    scores: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BindingSpec:
    """How the pieces become a booklet."""

    style: Style = "saddle"
    #: How one piece is folded.
    scheme: Scheme = SINGLE_FOLD
    #: How many pieces nest in each signature; None nests them all (saddle).
    pieces_per_signature: int | None = None
    reading: Reading = "left-to-right"
    #: The model of push-out, or its total for the whole booklet in mm; "none" leaves it out.
    creep: Literal["flat", "round", "none"] | float = "flat"
    stitching: StitchSpec = StitchSpec()
    #: For leaflets and cards.
    form: FormSpec = FormSpec()
    #: Width of the strip between the two covers of a wrapped cover, mm; "auto" is as thick as what it wraps.
    spine: float | Literal["auto"] = 0.0

    @property
    def stitch(self) -> Stitch | None:
        """How the booklet is held: as the job says, else in the usual way of its style; None if it is not stitched."""
        usual: dict[str, Stitch] = {"saddle": "saddle", "gathered": "side"}
        return self.stitching.kind or usual.get(self.style)


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSpec:
    """The paper the job is printed on."""

    paper: Paper
    #: The sizes to try, in order; one if the job names it. `lead` is the job's where it states one.
    stocks: tuple[Stock, ...]
    turn: Flip = "turn"
    #: Pieces a side; None takes as many as fit.
    pieces: int | None = None
    #: How pieces share sheets: so that cut stacks drop onto each other, or the same piece on every place.
    layout: SheetLayout = "cut-and-stack"
    #: The whole sheet is the piece: nothing is cut off, and what lies in the machine's margins stays unprinted.
    untrimmed: bool = False


@dataclass(frozen=True, slots=True)
class Take:
    """Which pages of a file are taken: from the first on, every so many, to the last; all of them by default."""

    first: int = 1
    step: int = 1
    last: int | None = None

    def of(self, count: int) -> range:
        """Return the pages of a file of so many, from 0.

        >>> list(Take(2, 2).of(5)), list(Take().of(2)), list(Take(3, last=9).of(4))
        ([1, 3], [0, 1], [2, 3])
        """
        return range(self.first - 1, min(count, self.last or count), self.step)


@dataclass(frozen=True, slots=True, kw_only=True)
class JobInk:
    """An ink the job prints, with the art it was given."""

    #: The shop's ink.
    ink: Ink
    #: Patterns of the art files, relative to the job's folder; nothing is matched yet.
    pages: tuple[str, ...]
    #: Files named page by page instead: (the reader's page, file), relative to the job's folder.
    placed: tuple[tuple[int, str], ...] = ()
    #: Which pages of its one file are its own.
    take: Take = Take()
    lay: ArtLay = "pages"
    #: Which plate of its files it is: a process colour or the name of a spot colour; None for gray layers.
    plate: str | None = None

    @property
    def has_art(self) -> bool:
        """Tell whether any file is named for it."""
        return bool(self.pages or self.placed)

    @property
    def name(self) -> str:
        """The shop's name of the ink, whatever name the job called it by."""
        return self.ink.name


@dataclass(frozen=True, slots=True)
class PartPages:
    """Which of the reader's pages a part carries.

    "outer": the first and the last `count` / 2; "rest": those of no other part; "listed": the ones named; "extra": a
    thing laid in or around, whose pages no reader counts.
    """

    kind: Literal["outer", "rest", "listed", "extra"]
    count: int = 0
    listed: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of a job with a paper, inks or a binding of its own: a cover, a body, an insert."""

    name: str
    pages: PartPages
    #: The part as a job of its own, without parts.
    job: Job
    #: Whether its inks name their own art; else its pages are among the job's.
    own_art: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A job, resolved against its shop."""

    file: Path
    title: str
    copies: int
    page: PageSpec
    binding: BindingSpec
    sheet: SheetSpec
    #: The kinds of marks that are wanted.
    marks: frozenset[MarkKind]
    #: In the job's order.
    inks: tuple[JobInk, ...]
    shop: Shop
    #: What is printed apart, in running order; nothing for a job that is one.
    parts: tuple[Part, ...] = ()
    #: Findings that the job accepts, each with its reason.
    accepted: tuple[Acceptance, ...] = ()

    @property
    def folder(self) -> Path:
        """The folder that holds the job file and its artwork."""
        return self.file.parent

    @property
    def inks_in_all(self) -> tuple[Ink, ...]:
        """Every ink that the job or one of its parts prints, each once, in the order they are named."""
        named = [*self.inks, *(ink for part in self.parts for ink in part.job.inks)]
        return tuple(dict.fromkeys(each.ink for each in named))

    @property
    def ink_names(self) -> tuple[str, ...]:
        """The shop's names of the job's inks, in the job's order."""
        return tuple(ink.name for ink in self.inks)
