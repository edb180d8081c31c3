"""PDFs of random pages, written byte by byte from ISO 32000-1 alone, so that no library's idea of a page is in them."""

from __future__ import annotations

from dataclasses import dataclass

#: Corners in any order (7.9.5): which of x0, y0, x1, y1 come in which place.
CORNERS = ((0, 1, 2, 3), (2, 3, 0, 1), (0, 3, 2, 1), (2, 1, 0, 3))
#: Matrices of forms, each with its inverse; no two of them in a row undo one another.
MATRICES = (
    ((1, 0, 0, 1, 0, 0), (1, 0, 0, 1, 0, 0)),
    ((0, 1, -1, 0, 40, -7), (0, -1, 1, 0, 7, 40)),
    ((-1, 0, 0, -1, 90, 110), (-1, 0, 0, -1, 90, 110)),
    ((2, 0, 0, 0.5, -30, 25), (0.5, 0, 0, 2, 15, -50)),
    ((1, 0, 0.25, 1, 0, 12), (1, 0, -0.25, 1, 3, -12)),
)


@dataclass(frozen=True)
class Page:
    """A page. Its trimmed size, as shown and in points, is the booklet's; all else is chance."""

    trim: tuple[int, int]
    #: Where the visible part begins in user space.
    origin: tuple[int, int]
    #: Quarter turns clockwise, and how many whole turns the number has too many or too few.
    turns: int
    spins: int
    unit: float
    #: How far the trim lies inside the visible part, user space: left, bottom, right, top; none if no trim is stated.
    inside: tuple[int, int, int, int] | None
    #: For each side, user space: how far the media reaches beyond the visible part, or (negative) the crop does.
    beyond: tuple[int, int, int, int]
    corners: tuple[int, int, int, int]
    #: What stands where a page's parent states it; the rest stands in the page itself.
    inherited: frozenset[str]
    #: Entries that are objects of their own.
    indirect: frozenset[str]
    #: Forms around the drawing, each inside the one before.
    forms: tuple[int, ...]
    #: Rectangles (left, bottom, width, height, gray) in percents of the visible part.
    shapes: tuple[tuple[int, int, int, int, int], ...]

    @property
    def visible(self) -> tuple[float, float, float, float]:
        """The visible part in user space: x0, y0, x1, y1."""
        wide, high = self.trim if self.turns % 2 == 0 else self.trim[::-1]
        left, bottom, right, top = self.inside or (0, 0, 0, 0)
        x, y = self.origin
        return x, y, x + wide / self.unit + left + right, y + high / self.unit + bottom + top


def pdf_of(pages: list[Page]) -> bytes:
    """Return a file of these pages."""
    writer = _Writer()
    root, tree = writer.reserve(), writer.reserve()
    nodes = [_page(writer, page, tree) for page in pages]
    writer.put(tree, b"<< /Type /Pages /Count %d /Kids [%b] >>" % (len(nodes), b" ".join(map(_reference, nodes))))
    writer.put(root, b"<< /Type /Catalog /Pages %b >>" % _reference(tree))
    return writer.file(root)


class _Writer:
    def __init__(self) -> None:
        self.objects: list[bytes] = []

    def reserve(self) -> int:
        self.objects.append(b"null")
        return len(self.objects)

    def put(self, number: int, content: bytes) -> int:
        self.objects[number - 1] = content
        return number

    def add(self, content: bytes) -> int:
        return self.put(self.reserve(), content)

    def stream(self, data: bytes, entries: bytes = b"") -> int:
        return self.add(b"<< /Length %d %b >>\nstream\n%b\nendstream" % (len(data), entries, data))

    def file(self, root: int) -> bytes:
        """Header, objects, table of offsets, trailer (7.5)."""
        made, offsets = bytearray(b"%PDF-1.7\n"), []
        for number, content in enumerate(self.objects, start=1):
            offsets.append(len(made))
            made += b"%d 0 obj\n%b\nendobj\n" % (number, content)
        rows = b"".join(b"%010d 00000 n \n" % offset for offset in offsets)
        table = b"xref\n0 %d\n0000000000 65535 f \n%b" % (len(offsets) + 1, rows)
        trailer = b"trailer\n<< /Size %d /Root %b >>\n" % (len(offsets) + 1, _reference(root))
        return bytes(made) + table + trailer + b"startxref\n%d\n%%%%EOF\n" % len(made)


def _page(writer: _Writer, page: Page, tree: int) -> int:
    """Write a page under a node of its own, which states what is inherited; return the node."""
    drawing, resources = _drawing(writer, page)
    entries = _entries(page) | {"Resources": resources}
    for name in page.indirect & entries.keys():
        entries[name] = _reference(writer.add(entries[name]))
    own = {name: value for name, value in entries.items() if name not in page.inherited}
    above = {name: value for name, value in entries.items() if name in page.inherited}
    node, leaf = writer.reserve(), writer.reserve()
    contents = _reference(writer.stream(drawing))
    writer.put(leaf, b"<< /Type /Page /Parent %b /Contents %b %b>>" % (_reference(node), contents, _written(own)))
    kids = _reference(leaf)
    head = b"<< /Type /Pages /Count 1 /Parent %b /Kids [%b] %b>>"
    return writer.put(node, head % (_reference(tree), kids, _written(above)))


def _entries(page: Page) -> dict[str, bytes]:
    x0, y0, x1, y1 = page.visible
    signs = (-1, -1, 1, 1)
    reach = list(zip((x0, y0, x1, y1), signs, page.beyond, strict=True))
    media = [edge + sign * max(by, 0) for edge, sign, by in reach]
    crop = [edge + sign * max(-by, 0) for edge, sign, by in reach]
    entries = {"MediaBox": _box(page, media), "Rotate": b"%d" % (90 * page.turns + 360 * page.spins)}
    if any(page.beyond):
        entries["CropBox"] = _box(page, crop)
    if page.unit != 1:
        entries["UserUnit"] = _number(page.unit)
    if page.inside:
        left, bottom, right, top = page.inside
        entries["TrimBox"] = _box(page, [x0 + left, y0 + bottom, x1 - right, y1 - top])
        entries["BleedBox"] = _box(page, [x0, y0, x1, y1])
    return entries


def _box(page: Page, edges: list[float]) -> bytes:
    return b"[%b]" % _numbers(*(edges[at] for at in page.corners))


def _drawing(writer: _Writer, page: Page) -> tuple[bytes, bytes]:
    """Return a page's content and its resources."""
    x0, y0, x1, y1 = page.visible
    wide, high = (x1 - x0) / 100, (y1 - y0) / 100
    content = b"".join(
        b"%b g %b re f\n" % (_number(gray / 100), _numbers(x0 + x * wide, y0 + y * high, w * wide, h * high))
        for x, y, w, h, gray in page.shapes
    )
    resources = b"<< >>"
    for which in reversed(page.forms):
        matrix, inverse = MATRICES[which]
        # The form's own matrix comes first, and what stands before its drawing undoes it.
        form = writer.stream(
            b"q %b cm\n%b Q" % (_numbers(*inverse), content),
            b"/Type /XObject /Subtype /Form /BBox [-4000 -4000 4000 4000] /Matrix [%b] /Resources %b"
            % (_numbers(*matrix), resources),
        )
        content, resources = b"/F Do\n", b"<< /XObject << /F %b >> >>" % _reference(form)
    return content, resources


def _written(entries: dict[str, bytes]) -> bytes:
    return b"".join(b"/%b %b " % (name.encode(), value) for name, value in entries.items())


def _numbers(*values: float) -> bytes:
    return b" ".join(map(_number, values))


def _number(value: float) -> bytes:
    return f"{value:.5f}".rstrip("0").rstrip(".").encode()


def _reference(number: int) -> bytes:
    return b"%d 0 R" % number
