"""What a PDF holds besides the drawing of its pages: notes, form fields, layers, scripts, attachments.

None of it prints as its author may think: notes and fields are laid flat as they would print, layers are resolved,
scripts and attachments are left alone and never run or opened. This module only looks, before anything is laid flat.
Source of the names: ISO 32000-1, 7.7.2 (catalogue), 12.5 (annotations), 12.6.4.16 (scripts), 7.11.4 (embedded files).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import pikepdf

from imposer.pages.pdf_objects import number_of

#: Annotations that show nothing of their own in print.
_SILENT = frozenset({"/Link", "/Popup", "/Widget", "/FileAttachment"})


@dataclass(frozen=True, slots=True, kw_only=True)
class PageExtras:
    """What lies on one page besides its drawing."""

    notes: int = 0
    fields: int = 0
    #: Those of them that are meant to print but bring no picture of their own: what a viewer makes up for them is lost,
    #: and of fields all but plain text.
    bare_notes: int = 0
    bare_fields: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class FileExtras:
    """What a file holds besides its pages' drawings.

    Attributes:
        pages: One for each page.
        layers: How many layers it has.
        scripts: Whether it holds scripts, to be run when it is opened or a page is shown.
        attachments: Whether other files are attached to it.
    """

    pages: tuple[PageExtras, ...] = ()
    layers: int = 0
    scripts: bool = False
    attachments: bool = False


#: A file of drawings alone.
NOTHING = FileExtras()


def look_for_extras(pdf: pikepdf.Pdf, pages: Iterable[pikepdf.Object]) -> FileExtras:
    """Return what a file holds besides its pages' drawings; call before annotations are laid flat."""
    pages = tuple(pages)
    root = pdf.Root
    names = root.get("/Names")
    annotations = [_annotations(page) for page in pages]
    kinds = [[str(one.get("/Subtype", "")) for one in own] for own in annotations]
    return FileExtras(
        pages=tuple(
            PageExtras(
                notes=sum(kind not in _SILENT for kind in own),
                fields=sum(kind == "/Widget" for kind in own),
                bare_notes=sum(kind not in _SILENT and _is_bare(one) for kind, one in zip(own, each, strict=True)),
                bare_fields=sum(kind == "/Widget" and _is_bare(one) for kind, one in zip(own, each, strict=True)),
            )
            for own, each in zip(kinds, annotations, strict=True)
        ),
        layers=_layers(root),
        scripts=_has(names, "/JavaScript") or any(map(_acts, (root, *pages))),
        attachments=_has(names, "/EmbeddedFiles") or "/AF" in root or any("/FileAttachment" in own for own in kinds),
    )


def _annotations(page: pikepdf.Object) -> list[pikepdf.Object]:
    annotations = page.get("/Annots")
    if not isinstance(annotations, pikepdf.Array):
        return []
    return [one for one in annotations.as_list() if isinstance(one, pikepdf.Dictionary)]


#: Flags of an annotation: hidden, and meant to print (Table 165).
_HIDDEN, _PRINTS = 2, 4


def _is_bare(annotation: pikepdf.Object) -> bool:
    """Tell whether an annotation is meant to print but has no appearance of its own."""
    flags = int(number_of(annotation.get("/F")) or 0)
    return "/AP" not in annotation and bool(flags & _PRINTS) and not flags & _HIDDEN


def _layers(root: pikepdf.Object) -> int:
    properties = root.get("/OCProperties")
    groups = properties.get("/OCGs") if isinstance(properties, pikepdf.Dictionary) else None
    return len(groups) if isinstance(groups, pikepdf.Array) else 0


def _has(names: object, key: str) -> bool:
    return isinstance(names, pikepdf.Dictionary) and key in names


def _acts(thing: pikepdf.Object) -> bool:
    """Tell whether a catalogue or a page runs a script when it is opened."""
    actions = [thing.get("/OpenAction")]
    more = thing.get("/AA")
    if isinstance(more, pikepdf.Dictionary):
        actions += more.as_dict().values()
    return any(isinstance(one, pikepdf.Dictionary) and one.get("/S") == pikepdf.Name.JavaScript for one in actions)
