"""A page guide as lines and words at fixed places: the same for PDF, PNG and SVG, so they cannot disagree.

Zones go in, shapes come out in mm; origin at the lower left of the whole guide (trim and bleed), y up.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from imposer.data.fonts import width_of
from imposer.geometry import Box, Size, Turn
from imposer.units import close, show
from imposer.write.dummy.lines import PageEdge
from imposer.write.page_guide.zones import PageZones

#: Weight of every line, mm.
LINE = 0.15
#: Type of the words, from full to least, mm.
_TYPE = (2.4, 2.0, 1.6)
#: How much of its size the capitals of the typeface are high.
CAPITALS = 0.73

#: Dashes (on, off, …) of each kind of line, mm; none is solid.
DASHES: dict[str, tuple[float, ...]] = {
    "trim": (),
    "fold": (3.0, 1.0),
    "binding": (3.0, 1.0, 0.6, 1.0, 0.6, 1.0),
    "text": (1.2, 1.2),
    "print limit": (),
    "careful": (4.0, 1.2, 0.6, 1.2),
    "roller track": (7.0, 2.0),
    "hatch": (),
}


@dataclass(frozen=True, slots=True)
class Line:
    """A thin line of one kind."""

    kind: str
    x0: float
    y0: float
    x1: float
    y1: float


@dataclass(frozen=True, slots=True)
class Text:
    """A line of words; (x, y) is the middle of its capitals, about which it turns."""

    text: str
    x: float
    y: float
    size: float
    turn: Turn = 0

    @property
    def box(self) -> Box:
        """What it covers."""
        wide, high = width_of(self.text, self.size) + 0.6, self.size * 1.2
        return Box.around(self.x, self.y, wide, high) if self.turn == 0 else Box.around(self.x, self.y, high, wide)


@dataclass(frozen=True, slots=True)
class Guide:
    """A finished guide."""

    size: Size
    #: The trimmed page or pages, and the bleed around them.
    trim: Box
    bleed: float
    title: str
    lines: tuple[Line, ...]
    texts: tuple[Text, ...]


def page_guide(zones: PageZones, what: str, title: str, words: ZoneWords) -> Guide:
    """Return the guide of one page; `what` names the pages."""
    return _guide((zones,), what, title, words)


def spread_guide(left: PageZones, right: PageZones, what: str, title: str, words: ZoneWords) -> Guide:
    """Return the guide of a spread: two pages that meet at their spines."""
    return _guide((left, right), what, title, words)


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneWords:
    """What is written at the lines: the numbers of the shop in words."""

    text: str
    print_limit: str
    careful: str
    track: str


@dataclass(slots=True)
class _Board:
    """Shapes so far, and what the words take up."""

    area: Box
    lines: list[Line] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    #: Words that wait for their place: each with the lines they may stand at, best first.
    waiting: list[tuple[str, list[Line]]] = field(default_factory=list)

    def box(self, kind: str, box: Box) -> list[Line]:
        """Draw the four sides of a box and return them: head, foot, left, right."""
        sides = [
            Line(kind, box.x0, box.y1, box.x1, box.y1),
            Line(kind, box.x0, box.y0, box.x1, box.y0),
            Line(kind, box.x0, box.y0, box.x0, box.y1),
            Line(kind, box.x1, box.y0, box.x1, box.y1),
        ]
        self.lines += sides
        return sides

    def label(self, words: str, lines: Sequence[Line]) -> None:
        """Have words written at one of some lines, once all lines are drawn."""
        self.waiting.append((words, list(lines)))

    def place_words(self) -> None:
        """Write every label where nothing is; one that finds no place is left out."""
        for words, lines in self.waiting:
            found = next((text for text in _places(words, lines) if self._free(text.box)), None)
            if found is not None:
                self.texts.append(found)

    def _free(self, box: Box) -> bool:
        if not self.area.contains(box) or any(box.meets(text.box) for text in self.texts):
            return False
        return not any(_crosses(line, box) for line in self.lines if line.kind != "hatch")


def _guide(pages: Sequence[PageZones], what: str, title: str, words: ZoneWords) -> Guide:
    bleed = pages[0].bleed
    width = sum(page.trim.width for page in pages)
    trim = Box.at(bleed, bleed, width, pages[0].trim.height)
    size = Size(width + 2 * bleed, pages[0].trim.height + 2 * bleed)
    whole = Box(0, 0, size.width, size.height)
    board = _Board(whole)
    # In a spread the name stands on the left page, clear of the spine.
    _name(board, Box.at(bleed, bleed, pages[0].trim.width, pages[0].trim.height), what, title)
    at = bleed
    for number, page in enumerate(pages):
        shown = Box(
            at if number else 0.0,
            0.0,
            at + page.trim.width + (bleed if number == len(pages) - 1 else 0.0),
            size.height,
        )
        if number and not (page.creep or pages[number - 1].creep):
            board.lines.append(Line("fold", at, trim.y0, at, trim.y1))
        _draw_page(board, page, at, shown, words, name_spine=not number)
        at += page.trim.width
    _trim(board, trim, whole, bleed)
    board.place_words()
    lines = tuple(part for line in board.lines for part in _around_words(line, board.texts))
    return Guide(size, trim, bleed, f"{title}: {what}", lines, tuple(board.texts))


def _around_words(line: Line, texts: Sequence[Text]) -> Iterator[Line]:
    """Give what of a line lies outside all words; only hatches and folds run where words may stand."""
    dx, dy = line.x1 - line.x0, line.y1 - line.y0
    gaps = sorted(filter(None, (_crossing(line, text.box) for text in texts)))
    at = 0.0
    for start, end in (*gaps, (1.0, 1.0)):
        if start > at:
            yield Line(line.kind, line.x0 + dx * at, line.y0 + dy * at, line.x0 + dx * start, line.y0 + dy * start)
        at = max(at, end)


def _crossing(line: Line, box: Box) -> tuple[float, float] | None:
    """Return from where to where, as shares of its length, a line runs inside a box; None if it does not."""
    start, end = 0.0, 1.0
    for begin, step, low, high in (
        (line.x0, line.x1 - line.x0, box.x0, box.x1),
        (line.y0, line.y1 - line.y0, box.y0, box.y1),
    ):
        if step == 0:
            if not low < begin < high:
                return None
            continue
        first, second = sorted(((low - begin) / step, (high - begin) / step))
        start, end = max(start, first), min(end, second)
    return (start, end) if start < end else None


def _name(board: _Board, trim: Box, what: str, title: str) -> None:
    """Write in the middle which pages these are and what of."""
    x, y = trim.centre
    room = trim.width * 0.8
    for text, wanted, down in ((what, 7.0, 0.0), (title, 3.0, 7.5)):
        size = min(wanted, wanted * room / max(1e-6, width_of(text, wanted)))
        board.texts.append(Text(text, x, y - down, size))


def _trim(board: _Board, trim: Box, whole: Box, bleed: float) -> None:
    # A line on the very edge of the guide would be cut in half: without bleed it lies just inside.
    sides = board.box("trim", trim if bleed else trim.grown(-LINE / 2))
    board.label(f"trim {show(trim.width)} × {show(trim.height)} mm", sides)
    if bleed:
        edges = [
            Line("bleed", whole.x0, whole.y1, whole.x1, whole.y1),
            Line("bleed", whole.x0, whole.y0, whole.x1, whole.y0),
        ]
        board.label(f"bleed {show(bleed)} mm, cut away", edges)


def _draw_page(board: _Board, page: PageZones, at: float, shown: Box, words: ZoneWords, *, name_spine: bool) -> None:
    """Draw one page's zones, its trim's lower left corner at (at, bleed), as far as they lie in `shown`."""

    def placed(box: Box) -> Box:
        return box.moved(at, page.bleed)

    for track in page.tracks:
        _track(board, placed(track).common(shown), words.track)
    if page.print_limit is not None:
        limit = placed(page.print_limit).common(shown)
        for beyond in _outside(limit, shown):
            board.lines += _hatched(beyond, 1.6)
        if limit is not None:
            board.label(words.print_limit, _borders(board, "print limit", limit, shown))
    if page.careful is not None:
        careful = placed(page.careful).common(shown)
        if careful is not None:
            board.label(words.careful, _borders(board, "careful", careful, shown))
    if page.text.width > 0 and page.text.height > 0:
        board.label(words.text, board.box("text", placed(page.text)))
    trim = Box.at(at, page.bleed, page.trim.width, page.trim.height)
    _edges(board, page, trim, name_spine=name_spine)


def _edges(board: _Board, page: PageZones, trim: Box, *, name_spine: bool) -> None:
    """Name head and spine, and draw the fold where creep moves it into the page."""
    board.label("head", [Line("name", trim.x0, trim.y1, trim.x1, trim.y1)])
    if page.spine is None:
        return
    edge = _edge(trim, page.spine, 0.0)
    if name_spine:
        board.label("spine", [edge])
    if page.binding:
        clear = replace(_edge(trim, page.spine, page.binding), kind="binding")
        board.lines.append(clear)
        board.label(f"binding: keep the inner {show(page.binding)} mm clear", [clear])
    _round_the_fold(board, page, trim)
    if page.creep:
        fold = replace(_edge(trim, page.spine, page.creep), kind="fold")
        board.lines.append(fold)
        board.label(f"fold: {show(page.creep)} mm of the page go round it", [fold])
    if page.pushed_out:
        across: dict[PageEdge, PageEdge] = {"left": "right", "right": "left", "head": "foot", "foot": "head"}
        fore = replace(_edge(trim, across[page.spine], page.pushed_out), kind="fold")
        board.lines.append(fore)
        board.label(f"about {show(page.pushed_out)} mm more are trimmed here", [fore])


def _round_the_fold(board: _Board, page: PageZones, trim: Box) -> None:
    """Hatch the bleed that a fold takes: no page bleeds over its spine."""
    prints = page.prints.moved(trim.x0, trim.y0)
    strips: dict[PageEdge, tuple[float, float, float, float]] = {
        "left": (board.area.x0, board.area.y0, prints.x0, board.area.y1),
        "right": (prints.x1, board.area.y0, board.area.x1, board.area.y1),
        "foot": (board.area.x0, board.area.y0, board.area.x1, prints.y0),
        "head": (board.area.x0, prints.y1, board.area.x1, board.area.y1),
    }
    if page.spine is None or not page.bleed:
        return
    # In a spread the spine lies in the middle, and the other page is where the bleed would be.
    ends = {"left": trim.x0 - board.area.x0, "right": board.area.x1 - trim.x1}
    x0, y0, x1, y1 = strips[page.spine]
    if close(ends.get(page.spine, page.bleed), page.bleed) and x1 - x0 > LINE and y1 - y0 > LINE:
        board.lines += _hatched(Box(x0, y0, x1, y1), 1.6)
        board.label("no bleed over the fold", [Line("name", x, y0, x, y1) for x in (x0, x1)])


def _edge(trim: Box, edge: PageEdge, inset: float) -> Line:
    match edge:
        case "left":
            return Line("name", trim.x0 + inset, trim.y0, trim.x0 + inset, trim.y1)
        case "right":
            return Line("name", trim.x1 - inset, trim.y0, trim.x1 - inset, trim.y1)
        case "head":
            return Line("name", trim.x0, trim.y1 - inset, trim.x1, trim.y1 - inset)
        case "foot":
            return Line("name", trim.x0, trim.y0 + inset, trim.x1, trim.y0 + inset)


def _track(board: _Board, band: Box | None, words: str) -> None:
    """Draw the two borders of the roller's band, and a sparse hatch in it."""
    if band is None:
        return
    board.lines += _hatched(band, 9.0)
    board.label(words, _borders(board, "roller track", band, board.area))


def _borders(board: _Board, kind: str, box: Box, shown: Box) -> list[Line]:
    """Draw the sides of a box that do not lie on the border of what is shown, and return them."""
    sides = [
        (Line(kind, box.x0, box.y1, box.x1, box.y1), shown.y1 - box.y1),
        (Line(kind, box.x0, box.y0, box.x1, box.y0), box.y0 - shown.y0),
        (Line(kind, box.x0, box.y0, box.x0, box.y1), box.x0 - shown.x0),
        (Line(kind, box.x1, box.y0, box.x1, box.y1), shown.x1 - box.x1),
    ]
    inside = [line for line, room in sides if room > LINE]
    board.lines += inside
    return inside


def _outside(limit: Box | None, shown: Box) -> Iterator[Box]:
    """Give what of `shown` lies beyond a limit: strips at its foot, head, left and right."""
    if limit is None:
        yield shown
        return
    for strip in (
        (shown.x0, shown.y0, shown.x1, limit.y0),
        (shown.x0, limit.y1, shown.x1, shown.y1),
        (shown.x0, limit.y0, limit.x0, limit.y1),
        (limit.x1, limit.y0, shown.x1, limit.y1),
    ):
        if strip[2] - strip[0] > LINE and strip[3] - strip[1] > LINE:
            yield Box(*strip)


def _hatched(box: Box, step: float) -> Iterator[Line]:
    """Give the lines that rise to the right through a box at 45 degrees."""
    at = step / 2
    while at < box.width + box.height:
        yield Line(
            "hatch",
            box.x0 + max(0.0, at - box.height),
            box.y1 - min(at, box.height),
            box.x0 + min(at, box.width),
            box.y1 - max(0.0, at - box.width),
        )
        at += step


def _places(words: str, lines: Sequence[Line]) -> Iterator[Text]:
    """Give places for words along lines: on either side of each, from its middle outwards, in ever smaller type."""
    for size in _TYPE:
        off = size * 0.75
        for share in (0.5, 0.3, 0.7, 0.2, 0.8, 0.4, 0.6, 0.12, 0.88):
            for line in lines:
                x, y = line.x0 + (line.x1 - line.x0) * share, line.y0 + (line.y1 - line.y0) * share
                level = abs(line.x1 - line.x0) >= abs(line.y1 - line.y0)
                for side in (-off, off):
                    yield Text(words, x, y + side, size) if level else Text(words, x + side, y, size, 90)


def _crosses(line: Line, box: Box) -> bool:
    """Tell whether an upright or level line runs through a box."""
    return (
        min(line.x0, line.x1) < box.x1
        and max(line.x0, line.x1) > box.x0
        and min(line.y0, line.y1) < box.y1
        and max(line.y0, line.y1) > box.y0
    )
