"""Small drawings in process and spot colours, with the tone that each must leave on each plate.

Source of the expected tones: ISO 32000-1, 8.6.6.4 and 8.6.6.5 (spot colours), 8.6.7 and Table 149 (overprinting),
worked out by hand; plates that are not named are bare.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import pikepdf
from pikepdf import Array, Dictionary, Name

#: Side of the page, points.
SIDE = 40
PLATES = ("cyan", "magenta", "yellow", "black", "Coral", "Teal")

#: A square that fills the middle of the page.
SQUARE = "10 10 20 20 re f"


@dataclass(frozen=True)
class Cell:
    """One drawing; `tones` in percent, in the middle of the page."""

    name: str
    drawing: str
    tones: dict[str, float]
    #: Made by a function of the PDF, for what a drawing names.
    things: object = field(default=None, repr=False)


def separation(pdf, name):
    tint = pdf.make_stream(b"{dup 0.5 mul exch dup 0.3 mul exch 0.2 mul 0}")
    tint.FunctionType, tint.Domain, tint.Range = 4, Array([0, 1]), Array([0, 1] * 4)
    return pdf.make_indirect(Array([Name.Separation, Name("/" + name), Name.DeviceCMYK, pdf.make_indirect(tint)]))


def device_n(pdf, *names):
    drop = "pop " * len(names)
    tint = pdf.make_stream(f"{{{drop}0.1 0.2 0.3 0.4}}".encode())
    tint.FunctionType, tint.Domain, tint.Range = 4, Array([0, 1] * len(names)), Array([0, 1] * 4)
    listed = Array([Name("/" + name) for name in names])
    return pdf.make_indirect(Array([Name.DeviceN, listed, Name.DeviceCMYK, pdf.make_indirect(tint)]))


def image(pdf, samples, space, **more):
    samples = np.asarray(samples, np.uint8)
    made = pdf.make_stream(samples.tobytes())
    made.Type, made.Subtype = Name.XObject, Name.Image
    made.Height, made.Width = samples.shape[:2]
    made.ColorSpace, made.BitsPerComponent = space, 8
    for key, value in more.items():
        made[f"/{key}"] = value
    return made


def form(pdf, drawing, resources=None, **more):
    made = pdf.make_stream(drawing.encode())
    made.Type, made.Subtype, made.BBox = Name.XObject, Name.Form, Array([0, 0, SIDE, SIDE])
    if resources is not None:
        made.Resources = resources
    for key, value in more.items():
        made[f"/{key}"] = value
    return made


def page_of(drawing, things=None):
    """Return a PDF of one page whose resources hold the usual spaces and states, and what `things` adds."""
    pdf = pikepdf.new()
    page = pdf.add_blank_page(page_size=(SIDE, SIDE))
    resources = Dictionary(
        ColorSpace=Dictionary(
            Coral=separation(pdf, "Coral"), Teal=separation(pdf, "Teal"), Red=separation(pdf, "Coral#20Red"),
            Cyan=separation(pdf, "Cyan"), All=separation(pdf, "All"), None_=separation(pdf, "None"),
            Two=device_n(pdf, "Coral", "Teal"), Mixed=device_n(pdf, "Black", "Coral"),
        ),
        ExtGState=Dictionary(
            Over=Dictionary(OP=True, op=True, OPM=0), Over1=Dictionary(OP=True, op=True, OPM=1),
            Both=Dictionary(OP=True), Not=Dictionary(OP=False, op=False), Fill=Dictionary(OP=False, op=True),
            Half=Dictionary(ca=0.5), Multiply=Dictionary(BM=Name.Multiply),
        ),
        XObject=Dictionary(), Pattern=Dictionary(), Shading=Dictionary(), Font=Dictionary(),
    )  # fmt: skip
    if things is not None:
        things(pdf, resources)
    page.Resources = resources
    page.Contents = pdf.make_stream(drawing.encode())
    return pdf


def _spot_image(pdf, resources):
    resources.XObject.I = image(pdf, [[51]], resources.ColorSpace.Coral)


def _turned_image(pdf, resources):
    resources.XObject.I = image(pdf, [[51]], resources.ColorSpace.Coral, Decode=Array([1, 0]))


def _two_ink_image(pdf, resources):
    resources.XObject.I = image(pdf, [[[51, 204]]], resources.ColorSpace.Two)


def _cmyk_image(pdf, resources):
    resources.XObject.I = image(pdf, [[[51, 102, 153, 204]]], Name.DeviceCMYK)


def _turned_cmyk_image(pdf, resources):
    resources.XObject.I = image(pdf, [[[204, 153, 102, 51]]], Name.DeviceCMYK, Decode=Array([1, 0] * 4))


def _palette_image(pdf, resources):
    palette = pikepdf.String(bytes([0, 0, 0, 0, 51, 102, 153, 204]))
    resources.XObject.I = image(pdf, [[1]], Array([Name.Indexed, Name.DeviceCMYK, 1, palette]))


def _spot_palette_image(pdf, resources):
    palette = pikepdf.String(bytes([0, 0, 51, 204]))
    resources.XObject.I = image(pdf, [[1]], Array([Name.Indexed, resources.ColorSpace.Two, 1, palette]))


def _gray_image(pdf, resources):
    resources.XObject.I = image(pdf, [[102]], Name.DeviceGray)


def _stencil(pdf, resources):
    made = pdf.make_stream(b"\0")
    made.Type, made.Subtype, made.Width, made.Height = Name.XObject, Name.Image, 1, 1
    made.ImageMask, made.BitsPerComponent = True, 1
    resources.XObject.I = made


def _masked_image(pdf, resources):
    mask = image(pdf, [[128]], Name.DeviceGray)
    resources.XObject.I = image(pdf, [[255]], resources.ColorSpace.Teal, SMask=mask)


def _inheriting_form(pdf, resources):
    resources.XObject.F = form(pdf, SQUARE)


def _overprinting_form(pdf, resources):
    resources.XObject.F = form(pdf, f"/Coral cs 1 scn {SQUARE}", Dictionary(ColorSpace=resources.ColorSpace))


def _black_form(pdf, resources):
    resources.XObject.F = form(pdf, f"q 0 0 0 0.6 k {SQUARE} Q", Dictionary())


def _tile(pdf, resources, kind, drawing):
    tile = pdf.make_stream(drawing.encode())
    tile.Type, tile.PatternType, tile.PaintType, tile.TilingType = Name.Pattern, 1, kind, 1
    tile.BBox, tile.XStep, tile.YStep = Array([0, 0, 8, 8]), 8, 8
    tile.Resources = Dictionary(ColorSpace=resources.ColorSpace)
    resources.Pattern.P = tile


def _coloured_tile(pdf, resources):
    _tile(pdf, resources, 1, "/Teal cs 0.7 scn 0 0 8 8 re f")


def _black_tile(pdf, resources):
    _tile(pdf, resources, 1, "0 0 8 8 re f")


def _uncoloured_tile(pdf, resources):
    _tile(pdf, resources, 2, "0 0 8 8 re f")
    resources.ColorSpace.Tinted = Array([Name.Pattern, resources.ColorSpace.Coral])


def _shading(pdf, resources, space, c0, c1):
    ramp = Dictionary(FunctionType=2, Domain=Array([0, 1]), N=1, C0=Array(c0), C1=Array(c1))
    shading = Dictionary(
        ShadingType=2, ColorSpace=space, Coords=Array([0, 0, SIDE, 0]), Function=ramp, Extend=Array([True, True])
    )
    resources.Shading.S = pdf.make_indirect(shading)
    resources.Pattern.S = pdf.make_indirect(Dictionary(PatternType=2, Shading=resources.Shading.S))


def _spot_shading(pdf, resources):
    _shading(pdf, resources, resources.ColorSpace.Coral, [0.2], [0.6])


def _cmyk_shading(pdf, resources):
    _shading(pdf, resources, Name.DeviceCMYK, [0.2, 0, 1, 0], [0.6, 0.5, 1, 0])


def _glyphs(pdf, resources):
    glyph = pdf.make_stream(b"1000 0 0 0 1000 1000 d1 0 0 1000 1000 re f")
    resources.Font.T = pdf.make_indirect(
        Dictionary(
            Type=Name.Font, Subtype=Name.Type3, FontBBox=Array([0, 0, 1000, 1000]),
            FontMatrix=Array([0.001, 0, 0, 0.001, 0, 0]), CharProcs=Dictionary(a=glyph),
            Encoding=Dictionary(Type=Name.Encoding, Differences=Array([97, Name.a])), FirstChar=97, LastChar=97,
            Widths=Array([1000]), Resources=Dictionary(),
        )
    )  # fmt: skip


def _soft_mask(pdf, resources):
    # The mask's lightness is 0.4: a tone of 60 % on the plate of black, and nothing on any other.
    group = form(
        pdf, f"0.4 g 0 0 {SIDE} {SIDE} re f", Dictionary(), Group=Dictionary(S=Name.Transparency, CS=Name.DeviceGray)
    )
    resources.ExtGState.Masked = Dictionary(SMask=Dictionary(S=Name.Luminosity, G=group))


UNDER = "/Teal cs 1 scn 0 0 40 40 re f "
CELLS = (
    Cell("process", f"0.1 0.2 0.3 0.4 k {SQUARE}", {"cyan": 10, "magenta": 20, "yellow": 30, "black": 40}),
    Cell("gray", f"0.25 g {SQUARE}", {"black": 75}),
    Cell("black that a page begins in", SQUARE, {"black": 100}),
    Cell("neutral light", f"0.25 0.25 0.25 rg {SQUARE}", {"black": 75}),
    Cell("spot", f"/Coral cs 0.35 scn {SQUARE}", {"Coral": 35}),
    Cell("spot's own start", f"/Coral cs {SQUARE}", {"Coral": 100}),
    Cell("stroke", "/Coral CS 0.6 SCN 16 w 0 20 m 40 20 l S", {"Coral": 60}),
    Cell("like name", f"/Red cs 1 scn {SQUARE}", {}),
    Cell("process colour as spot", f"/Cyan cs 0.45 scn {SQUARE}", {"cyan": 45}),
    Cell("all", f"/Two cs 1 1 scn 0 0 2 2 re f /All cs 0.5 scn {SQUARE}", dict.fromkeys(PLATES, 50)),
    Cell("none", f"{UNDER} /None_ cs 1 scn {SQUARE}", {"Teal": 100}),
    Cell("two spots", f"/Two cs 0.2 0.9 scn {SQUARE}", {"Coral": 20, "Teal": 90}),
    Cell("black and spot", f"/Mixed cs 0.2 0.9 scn {SQUARE}", {"black": 20, "Coral": 90}),
    Cell("knocked out by a spot", f"{UNDER} /Coral cs 0.5 scn {SQUARE}", {"Coral": 50}),
    Cell("knocked out by process", f"{UNDER} 0 0 0 1 k {SQUARE}", {"black": 100}),
    Cell("knocked out by white", f"{UNDER} 1 g {SQUARE}", {}),
    Cell("overprinted by a spot", f"{UNDER} /Over gs /Coral cs 0.5 scn {SQUARE}", {"Coral": 50, "Teal": 100}),
    Cell("overprinted by process", f"{UNDER} /Over gs 0 0 0 1 k {SQUARE}", {"black": 100, "Teal": 100}),
    Cell("overprinted by gray", f"{UNDER} /Over gs 0 g {SQUARE}", {"black": 100, "Teal": 100}),
    Cell("overprinting white", f"{UNDER} /Over gs 0 0 0 0 k {SQUARE}", {"Teal": 100}),
    Cell("mode 0 takes all process", f"1 0 0 0 k 0 0 40 40 re f /Over gs 0 0 0 1 k {SQUARE}", {"black": 100}),
    Cell(
        "mode 1 leaves what has no tone",
        f"1 0.5 0 0 k 0 0 40 40 re f /Over1 gs 0 0.2 0 1 k {SQUARE}",
        {"cyan": 100, "magenta": 20, "black": 100},
    ),
    Cell("mode 1 leaves no spot", f"/Coral cs 1 scn 0 0 40 40 re f /Over1 gs 0 scn {SQUARE}", {}),
    Cell("OP alone is for both", f"{UNDER} /Both gs /Coral cs 1 scn {SQUARE}", {"Coral": 100, "Teal": 100}),
    Cell("overprint ends", f"{UNDER} /Over gs /Not gs /Coral cs 1 scn {SQUARE}", {"Coral": 100}),
    Cell("overprint ends with its state", f"{UNDER} q /Over gs Q /Coral cs 1 scn {SQUARE}", {"Coral": 100}),
    Cell(
        "fill alone overprints",
        f"{UNDER} /Fill gs /Coral cs 1 scn /Coral CS 1 SCN 8 w 2 2 36 36 re B",
        {"Coral": 100, "Teal": 100},
    ),
    Cell("seen through", f"{UNDER} /Half gs /Coral cs 1 scn {SQUARE}", {"Coral": 50, "Teal": 50}),
    Cell("multiplied", f"{UNDER} /Multiply gs /Coral cs 0.5 scn {SQUARE}", {"Coral": 50, "Teal": 100}),
    Cell("spot image", "40 0 0 40 0 0 cm /I Do", {"Coral": 20}, _spot_image),
    Cell("image that knocks out", f"{UNDER} 40 0 0 40 0 0 cm /I Do", {"Coral": 20}, _spot_image),
    Cell("image that overprints", f"{UNDER} /Over gs 40 0 0 40 0 0 cm /I Do", {"Coral": 20, "Teal": 100}, _spot_image),
    Cell("image turned round", "40 0 0 40 0 0 cm /I Do", {"Coral": 80}, _turned_image),
    Cell("image in two spots", "40 0 0 40 0 0 cm /I Do", {"Coral": 20, "Teal": 80}, _two_ink_image),
    Cell(
        "process image",
        "40 0 0 40 0 0 cm /I Do",
        {"cyan": 20, "magenta": 40, "yellow": 60, "black": 80},
        _cmyk_image,
    ),
    Cell(
        "process image turned round",
        "40 0 0 40 0 0 cm /I Do",
        {"cyan": 20, "magenta": 40, "yellow": 60, "black": 80},
        _turned_cmyk_image,
    ),
    Cell(
        "image with a palette of process colours",
        "40 0 0 40 0 0 cm /I Do",
        {"cyan": 20, "magenta": 40, "yellow": 60, "black": 80},
        _palette_image,
    ),
    Cell("image with a palette of spots", "40 0 0 40 0 0 cm /I Do", {"Coral": 20, "Teal": 80}, _spot_palette_image),
    Cell("gray image", f"{UNDER} 40 0 0 40 0 0 cm /I Do", {"black": 60}, _gray_image),
    Cell(
        "inline image",
        "40 0 0 40 0 0 cm BI /W 1 /H 1 /CS /CMYK /BPC 8 ID \x33\x00\x33\x00 EI",
        {"cyan": 20, "yellow": 20},
    ),
    Cell("gray inline image", f"{UNDER} 40 0 0 40 0 0 cm BI /W 1 /H 1 /CS /G /BPC 8 ID \x33 EI", {"black": 80}),
    Cell("stencil", "/Coral cs 0.3 scn 40 0 0 40 0 0 cm /I Do", {"Coral": 30}, _stencil),
    Cell(
        "image through a mask",
        "/Coral cs 1 scn 0 0 40 40 re f 40 0 0 40 0 0 cm /I Do",
        {"Coral": 100 * (1 - 128 / 255), "Teal": 100 * 128 / 255},
        _masked_image,
    ),
    Cell("form in the colour around", f"{UNDER} /Coral cs 0.5 scn /F Do", {"Coral": 50}, _inheriting_form),
    Cell("form and then another colour", "/Coral cs 0.5 scn /F Do 0 0 0 1 k /F Do", {"black": 100}, _inheriting_form),
    Cell("form that overprints as around", f"{UNDER} /Over gs /F Do", {"Coral": 100, "Teal": 100}, _overprinting_form),
    Cell(
        "form once with and once without overprint",
        f"{UNDER} q /Over gs /F Do Q /F Do",
        {"Coral": 100},
        _overprinting_form,
    ),
    Cell("form of black", f"{UNDER} /F Do", {"black": 60}, _black_form),
    Cell("coloured tiles", "/Pattern cs /P scn 0 0 40 40 re f", {"Teal": 70}, _coloured_tile),
    Cell("tiles in the black they begin in", "/Pattern cs /P scn 0 0 40 40 re f", {"black": 100}, _black_tile),
    Cell("uncoloured tiles", "/Tinted cs 0.4 /P scn 0 0 40 40 re f", {"Coral": 40}, _uncoloured_tile),
    Cell("spot shading", f"{UNDER} /S sh", {"Coral": 40}, _spot_shading),
    Cell("shading that overprints", f"{UNDER} /Over gs /S sh", {"Coral": 40, "Teal": 100}, _spot_shading),
    Cell("process shading", "/S sh", {"cyan": 40, "magenta": 25, "yellow": 100}, _cmyk_shading),
    Cell("shading as a pattern", f"{UNDER} /Pattern cs /S scn {SQUARE}", {"Coral": 40}, _spot_shading),
    Cell("drawn glyphs", "/Coral cs 0.3 scn BT /T 40 Tf (a) Tj ET", {"Coral": 30}, _glyphs),
    Cell("soft mask", f"/Masked gs /Coral cs 1 scn {SQUARE}", {"Coral": 40}, _soft_mask),
)  # fmt: skip
