"""Small PDFs that trap whoever places pages: one function a trap, its name says what is tried.

Every page carries art that no turn, mirror or shift maps onto itself. `TRAPS` lists them all; each function writes its
file and returns how the viewer must be asked for it.
"""

from __future__ import annotations

from dataclasses import dataclass

import pikepdf
from pikepdf import Array, Dictionary, Name

from tests.oracle import SHARE

#: No turn or mirror of this is itself: bars, a letter, a hairline, a gray field. 200 × 300 points.
ART = b"""
0 g 20 20 60 12 re f 20 20 12 200 re f 20 120 40 12 re f
0.5 g 100 200 70 50 re f 1 w 0 G 100 40 m 190 130 l S 0.25 w 100 20 m 190 20 l S
BT /F1 40 Tf 100 140 Td (Rg4) Tj ET
"""
WIDTH, HEIGHT = 200, 300


@dataclass(frozen=True)
class Viewed:
    """How a viewer must be asked for the page that was trapped."""

    index: int = 0
    #: The viewer knows no /UserUnit.
    unit: float = 1.0
    #: The share of pixels that may differ, where the viewer draws with a font of its own.
    share: float = SHARE


TRAPS = {}


def trap(function):
    TRAPS[function.__name__] = function
    return function


def new(content=ART, box=(0, 0, WIDTH, HEIGHT), pages=1, **entries):
    pdf = pikepdf.Pdf.new()
    for _ in range(pages):
        pdf.add_blank_page(page_size=(WIDTH, HEIGHT))
    page = pdf.pages[0].obj
    page.MediaBox = Array(box)
    page.Contents = pdf.make_stream(content)
    page.Resources = Dictionary(Font=Dictionary(F1=font()))
    for key, value in entries.items():
        page["/" + key] = value
    return pdf


def font():
    return Dictionary(Type=Name.Font, Subtype=Name.Type1, BaseFont=Name.Helvetica)


def written(pdf, file, **how):
    pdf.save(file, **how)
    return Viewed()


# Turns.


@trap
def rotate_90(file):
    return written(new(Rotate=90), file)


@trap
def rotate_180(file):
    return written(new(Rotate=180), file)


@trap
def rotate_270(file):
    return written(new(Rotate=270), file)


@trap
def rotate_minus_90(file):
    return written(new(Rotate=-90), file)


@trap
def rotate_450(file):
    return written(new(Rotate=450), file)


def _through_the_tree(file, key):
    """Move a page attribute up to the node of the page tree, as old writers do."""
    pdf = new(Rotate=90)
    page, node = pdf.pages[0].obj, pdf.Root.Pages
    node[key] = pdf.make_indirect(page[key]) if key == "/Resources" else page[key]
    del page[key]
    return written(pdf, file)


@trap
def rotate_inherited(file):
    return _through_the_tree(file, "/Rotate")


@trap
def media_box_inherited(file):
    return _through_the_tree(file, "/MediaBox")


@trap
def resources_inherited(file):
    return _through_the_tree(file, "/Resources")


# Boxes.


@trap
def crop_box_inside_media_box(file):
    return written(new(CropBox=Array([30, 10, 180, 260])), file)


@trap
def crop_box_inside_media_box_turned(file):
    return written(new(CropBox=Array([30, 10, 180, 260]), Rotate=270), file)


@trap
def origin_below_zero(file):
    return written(new(b"1 0 0 1 -150 -220 cm" + ART, box=(-150, -220, 50, 80)), file)


@trap
def origin_far_away(file):
    return written(new(b"1 0 0 1 9000 4000 cm" + ART, box=(9000, 4000, 9200, 4300)), file)


@trap
def box_corners_flipped(file):
    return written(new(box=(WIDTH, HEIGHT, 0, 0), CropBox=Array([180, 10, 30, 260])), file)


@trap
def trim_box_smaller_than_crop_box(file):
    """The default of forms clips to the TrimBox: the bleed would be gone."""
    return written(new(TrimBox=Array([40, 40, 160, 260])), file)


@trap
def crop_box_beyond_media_box(file):
    return written(new(box=(20, 20, 180, 280), CropBox=Array([-50, 60, 400, 900])), file)


@trap
def user_unit(file):
    written(new(UserUnit=2.5), file)
    return Viewed(unit=2.5)


@trap
def user_unit_turned_and_cropped(file):
    written(new(UserUnit=0.5, Rotate=90, CropBox=Array([30, 10, 180, 260])), file)
    return Viewed(unit=0.5)


# What is drawn beside the page's content.


def _appearance(pdf, content, box):
    made = pdf.make_stream(content)
    made.Type, made.Subtype, made.BBox = Name.XObject, Name.Form, Array(box)
    made.Resources = Dictionary(Font=Dictionary(F1=font()))
    return made


@trap
def annotation_with_appearance(file):
    pdf = new()
    look = _appearance(pdf, b"0.3 g 0 0 60 30 re f 1 g 5 5 10 20 re f", (0, 0, 60, 30))
    pdf.pages[0].Annots = Array(
        [
            pdf.make_indirect(
                Dictionary(
                    Type=Name.Annot, Subtype=Name.Stamp, Rect=Array([110, 60, 180, 100]), F=4, AP=Dictionary(N=look)
                )
            )
        ]
    )
    return written(pdf, file)


@trap
def annotation_that_does_not_print(file):
    pdf = new()
    look = _appearance(pdf, b"0 g 0 0 60 30 re f", (0, 0, 60, 30))
    hidden = Dictionary(
        Type=Name.Annot, Subtype=Name.Stamp, Rect=Array([110, 60, 180, 100]), F=2, AP=Dictionary(N=look)
    )
    pdf.pages[0].Annots = Array([pdf.make_indirect(hidden)])
    return written(pdf, file)


def _form(pdf, **entries):
    field = Dictionary(
        Type=Name.Annot, Subtype=Name.Widget, FT=Name.Tx, T="name", V="Moth", F=4, Rect=Array([100, 60, 190, 90]),
        DA="/Helv 18 Tf 0 g", **entries,
    )  # fmt: skip
    held = pdf.make_indirect(field)
    pdf.pages[0].Annots = Array([held])
    pdf.Root.AcroForm = Dictionary(
        Fields=Array([held]), DA="/Helv 18 Tf 0 g", DR=Dictionary(Font=Dictionary(Helv=font()))
    )


@trap
def form_field_filled(file):
    pdf = new()
    text = b"/Tx BMC q BT /F1 18 Tf 2 9 Td (Moth) Tj ET Q EMC"
    _form(pdf, AP=Dictionary(N=_appearance(pdf, text, (0, 0, 90, 30))))
    return written(pdf, file)


@trap
def form_field_without_appearance(file):
    """The viewer sets the text of such a field a little otherwise than the library that draws it for us."""
    pdf = new()
    _form(pdf)
    pdf.Root.AcroForm.NeedAppearances = True
    written(pdf, file)
    return Viewed(share=1e-3)


# Layers.


def _layers(pdf, *names, off=()):
    groups = {name: pdf.make_indirect(Dictionary(Type=Name.OCG, Name=name)) for name in names}
    pdf.Root.OCProperties = Dictionary(
        OCGs=Array(list(groups.values())), D=Dictionary(OFF=Array([groups[name] for name in off]), Order=Array([]))
    )
    return groups


@trap
def layer_hidden_by_default(file):
    pdf = new(ART + b"/OC /L BDC 0 g 0 0 200 100 re f BT /F1 90 Tf 0 100 Td (XX) Tj ET EMC 0 g 180 280 10 10 re f")
    pdf.pages[0].Resources.Properties = Dictionary(L=_layers(pdf, "draft", off=["draft"])["draft"])
    return written(pdf, file)


@trap
def layer_that_shows(file):
    pdf = new(ART + b"/OC /L BDC 0.6 g 100 60 50 30 re f EMC")
    pdf.pages[0].Resources.Properties = Dictionary(L=_layers(pdf, "art", "draft", off=["draft"])["art"])
    return written(pdf, file)


@trap
def layer_of_a_nested_drawing_hidden(file):
    pdf = new(ART + b"/X Do")
    nested = _appearance(pdf, b"0 g 0 0 200 100 re f", (0, 0, 200, 300))
    nested.OC = _layers(pdf, "draft", off=["draft"])["draft"]
    pdf.pages[0].Resources.XObject = Dictionary(X=nested)
    return written(pdf, file)


@trap
def layers_in_membership(file):
    """Shown if all of its layers are on; one is off."""
    pdf = new(ART + b"/OC /M BDC 0 g 0 0 200 100 re f EMC")
    groups = _layers(pdf, "a", "b", off=["b"])
    member = Dictionary(Type=Name.OCMD, OCGs=Array(list(groups.values())), P=Name.AllOn)
    pdf.pages[0].Resources.Properties = Dictionary(M=pdf.make_indirect(member))
    return written(pdf, file)


# Transparency.


def _blended(file, mode, **group):
    pdf = new(b"0.6 g 0 0 200 150 re f /B gs 0.3 g 30 30 100 200 re f /N gs" + ART)
    pdf.pages[0].Resources.ExtGState = Dictionary(B=Dictionary(BM=mode, ca=0.8), N=Dictionary(BM=Name.Normal, ca=1))
    if group:
        pdf.pages[0].Group = Dictionary(Type=Name.Group, S=Name.Transparency, CS=Name.DeviceRGB, **group)
    return written(pdf, file)


@trap
def blend_multiply(file):
    return _blended(file, Name.Multiply)


@trap
def blend_difference(file):
    return _blended(file, Name.Difference)


@trap
def blend_screen(file):
    return _blended(file, Name.Screen)


@trap
def page_group_isolated(file):
    return _blended(file, Name.Multiply, I=True)


@trap
def page_group_knockout(file):
    return _blended(file, Name.Multiply, K=True)


@trap
def soft_mask(file):
    pdf = new(b"/M gs 0 g 0 0 200 300 re f")
    mask = _appearance(pdf, b"1 g 30 30 80 200 re f 0.5 g 110 30 60 100 re f", (0, 0, 200, 300))
    mask.Group = Dictionary(S=Name.Transparency, CS=Name.DeviceGray)
    pdf.pages[0].Resources.ExtGState = Dictionary(M=Dictionary(SMask=Dictionary(S=Name.Luminosity, G=mask)))
    return written(pdf, file)


# Patterns: their matrices belong to the page, not to where they are drawn.


@trap
def tiling_pattern(file):
    pdf = new(b"/Pattern cs /P scn 20 20 160 260 re f", Rotate=90)
    tile = pdf.make_stream(b"0 g 0 0 8 4 re f 0.6 g 10 8 6 6 re f")
    for key, value in {
        "PatternType": 1, "PaintType": 1, "TilingType": 1, "BBox": Array([0, 0, 20, 20]), "XStep": 20, "YStep": 20,
        "Resources": Dictionary(), "Matrix": Array([1.5, 0.3, -0.2, 1.2, 7, 3]),
    }.items():  # fmt: skip
        tile["/" + key] = value
    pdf.pages[0].Resources.Pattern = Dictionary(P=tile)
    return written(pdf, file)


@trap
def shading_pattern(file):
    pdf = new(b"/Pattern cs /P scn 20 20 160 260 re f", box=(-30, 0, 170, 300))
    function = Dictionary(FunctionType=2, Domain=Array([0, 1]), C0=Array([0.1]), C1=Array([0.9]), N=1)
    shading = Dictionary(ShadingType=2, ColorSpace=Name.DeviceGray, Coords=Array([20, 20, 150, 280]), Function=function)
    pattern = Dictionary(PatternType=2, Shading=shading, Matrix=Array([0.9, 0.1, 0, 1, 5, 5]))
    pdf.pages[0].Resources.Pattern = Dictionary(P=pattern)
    return written(pdf, file)


# What a page leaves behind.


@trap
def too_many_restores(file):
    written(new(ART + b"Q Q Q 0 g 150 270 30 10 re f"), file)
    return Viewed()


@trap
def missing_restore(file):
    return written(new(b"q 0.9 0 0 0.9 0 0 cm q" + ART), file)


@trap
def clip_and_colour_left_behind(file):
    return written(new(ART + b"0 0 100 300 re W n 0.7 g 5 w"), file)


@trap
def content_split_between_tokens(file):
    pdf = new()
    words = ART.split()
    pieces = [b" ".join(words[at : at + 7]) for at in range(0, len(words), 7)]
    pdf.pages[0].Contents = Array([pdf.make_stream(piece) for piece in pieces])
    return written(pdf, file)


@trap
def resources_missing(file):
    pdf = new(b"0 g 20 20 60 12 re f 20 20 12 200 re f")
    del pdf.pages[0].obj["/Resources"]
    return written(pdf, file)


@trap
def contents_missing(file):
    pdf = new()
    del pdf.pages[0].obj["/Contents"]
    return written(pdf, file)


@trap
def drawn_font_without_resources(file):
    pdf = new(b"BT /T 1 Tf 40 0 0 40 30 100 Tm (aba) Tj ET")
    glyphs = {
        "/a": pdf.make_stream(b"1 0 0 0 1 1 d1 0 0 0.8 0.3 re f 0 0 0.2 0.9 re f"),
        "/b": pdf.make_stream(b"1 0 d0 0.5 g 0.1 0.1 0.6 0.6 re f"),
    }
    pdf.pages[0].Resources.Font.T = Dictionary(
        Type=Name.Font, Subtype=Name.Type3, FontBBox=Array([0, 0, 1, 1]), FontMatrix=Array([1, 0, 0, 1, 0, 0]),
        CharProcs=Dictionary(glyphs), Encoding=Dictionary(Differences=Array([97, Name.a, Name.b])), FirstChar=97,
        LastChar=98, Widths=Array([1, 1]),
    )  # fmt: skip
    return written(pdf, file)


@trap
def nested_drawing_without_resources(file):
    """An old writer's form takes its font from the page that draws it."""
    pdf = new(b"q 0.7 0 0 0.7 10 20 cm /X Do Q")
    nested = pdf.make_stream(ART)
    nested.Type, nested.Subtype, nested.BBox = Name.XObject, Name.Form, Array([0, 0, 200, 300])
    pdf.pages[0].Resources.XObject = Dictionary(X=nested)
    return written(pdf, file)


@trap
def inline_image(file):
    data = bytes(range(0, 256, 16)) * 2
    return written(
        new(ART + b"q 80 0 0 40 100 60 cm BI /W 16 /H 2 /BPC 8 /CS /G ID " + data + b"\nEI Q 0.4 g 100 30 9 9 re f"),
        file,
    )


# The file around the page.


@trap
def encrypted_with_an_empty_password(file):
    return written(new(), file, encryption=pikepdf.Encryption(owner="known", user="", R=6))


@trap
def encrypted_the_old_way(file):
    how = pikepdf.Encryption(owner="known", user="", R=3, aes=False, metadata=False)
    return written(new(), file, encryption=how)


@trap
def object_streams(file):
    return written(new(), file, object_stream_mode=pikepdf.ObjectStreamMode.generate)


@trap
def table_of_offsets_wrong(file):
    written(new(), file, object_stream_mode=pikepdf.ObjectStreamMode.disable)
    data = file.read_bytes()
    at = data.rindex(b"startxref")
    file.write_bytes(data[:at] + b"startxref\n7\n%%EOF\n")
    return Viewed()


@trap
def junk_before_the_header(file):
    written(new(), file)
    file.write_bytes(b"Content-Type: application/pdf\r\n\r\n" + file.read_bytes())
    return Viewed()


@trap
def page_count_wrong(file):
    pdf = new(pages=2)
    data = file.with_suffix(".tmp")
    pdf.save(data, object_stream_mode=pikepdf.ObjectStreamMode.disable)
    file.write_bytes(data.read_bytes().replace(b"/Count 2", b"/Count 7"))
    return Viewed()


@trap
def same_page_listed_twice(file):
    pdf = new(pages=2)
    pdf.Root.Pages.Kids = Array([pdf.pages[0].obj, pdf.pages[0].obj])
    written(pdf, file)
    return Viewed(index=1)
