"""Words that artists and their programs put into names: colours, plates, covers. Common practice, no source.

Words are lower case, without accents. The colour words are those of the languages that art was seen in; each stands
for one plain colour, which a shop's ink is then found by.
"""

from __future__ import annotations

from typing import Literal

#: Plain colours, and what they are called.
_COLOURS: dict[str, str] = {
    "black": (
        "black k noir noire schwarz negro nero nera zwart svart sort preto czarny musta blk bk negre negru cerna "
        "cerny fekete siyah черная черныи 黒 黑 schwarze negra preta zwarte czarna czarne"
    ),
    "gray": "gray grey gris grau grigio grijs gra cinza",
    "blue": (
        "blue bleu bleue blau azul blu blauw bla niebieski sininen blava modra modry albastru mavi синии синяя 青 藍 "
        "blaue blauwe niebieska niebieskie"
    ),
    "red": (
        "red rouge rot rojo rosso rood rod vermelho czerwony vermell rosu cervena cerveny czerwona piros "
        "kirmizi punainen rode rote rossa roja vermelha czerwone красная красныи 赤 红"
    ),
    "yellow": (
        "yellow jaune gelb amarillo giallo geel gul amarelo zolty groc galben zluta zluty zolta keltainen "
        "gula желтая желтыи 黄 gelbe amarilla gialla amarela zolte yel ylw"
    ),
    "green": (
        "green vert verte grun gruen verde groen gron zielony verd zelena zeleny zielona vihrea yesil зеленая "
        "зеленыи 緑 grune groene gruene zielone grn"
    ),
    "pink": "pink rosa rose roze lyserod ruzova ruzovy rozowy rozowa розовая розовыи vaaleanpunainen pnk",
    "orange": "orange naranja arancione oranje laranja oranzova oranzovy pomaranczowy pomaranczowa оранжевыи",
    "purple": "purple violet violett viola lila morado paars roxo fialova fialovy fioletowy фиолетовыи violette",
    "teal": "teal turquoise turkis tuerkis turquesa petrol aqua",
    "brown": "brown brun braun marron marrone bruin castanho hneda brazowy коричневыи",
    "gold": "gold dore oro goud dourado",
}

#: Colour words and the plain colour each stands for.
COLOUR_WORDS: dict[str, str] = {word: colour for colour, words in _COLOURS.items() for word in words.split()} | {
    "cyan": "cyan",
    "magenta": "magenta",
}

_SHADES = (
    "light dark pale deep bright neon fluo fluor fluorescent hell dunkel leucht clair fonce foncee claro oscuro oscura "
    "chiaro scuro licht donker svetla svetly tmava tmavy jasny jasna ciemny ciemna"
)
#: Words beside one for a colour that make it another ink, maybe one that the shop has not.
SHADES = frozenset(_SHADES.split())

#: Words of a title that look like a colour and a usual word.
NOT_GLUED = frozenset({"blueprint", "blueprints"})

#: Letters of printing plates where they stand alone, and the colour each stands for.
PLATE_LETTERS: dict[str, str] = {"c": "cyan", "m": "magenta", "y": "yellow", "k": "black"}

#: Plain colours as sRGB, to find the ink of a shop that comes nearest; values from memory.
PLAIN: dict[str, str] = {
    "black": "#101010", "gray": "#808080", "blue": "#1f4fa8", "red": "#d02828", "yellow": "#f7d417",
    "green": "#2f9a4a", "pink": "#f06aa0", "orange": "#f2811d", "purple": "#7a3f9a", "teal": "#178f96",
    "brown": "#7a4a2a", "gold": "#b9943a", "cyan": "#19a0d8", "magenta": "#d4257f",
}  # fmt: skip

#: Words before the number of a layer that has no other name.
LAYER_WORDS = frozenset(
    {"layer", "l", "ink", "color", "colour", "spot", "plate", "drum", "ebene", "capa", "calque", "farbe"}
)

#: Words beside that for the ink that are of no title.
_USUAL = (
    "page pages pag pagina paginas seite seiten side sida strona blz bladzijde sheet leaf plate layer ink drum "
    "pass spot cover front back inside outside inner outer umschlag couverture cubierta copertina omslag spread "
    "spreads insert final finals finale last new neu old draft version ver rev copy kopie copie copia real print "
    "printing druck fixed corrected scan scans scanned img image artboard untitled export exported zine layout "
    "pdf png tif tiff jpg jpeg only part teil inks colour color farbe couleur test proof art file files hires "
    "lowres high res flat gray grey of pp dpi ppi mm cm heft auszug platte ebene kanal schicht form tinte encre tinta "
    "poster plakat affiche flyer"
)
USUAL_WORDS = frozenset(_USUAL.split())

#: What programs, scanners and cameras call what has no name yet; the number after it counts their files.
PROGRAM_WORDS = frozenset(
    {"untitled", "unbenannt", "titre", "titulo", "titolo", "artboard", "scan", "scanned", "img", "image", "bild", "dsc"}
)

Place = Literal["front", "inside front", "inside back", "back"]

#: Endings of messages and lists that come along.
WORDS_ALONG = frozenset({".txt", ".md", ".eml", ".msg", ".html", ".htm", ".url", ".json", ".toml", ".csv"})
#: Endings of what an export leaves beside the pages, and what it is.
NO_PAGES: dict[str, str] = {
    **dict.fromkeys((".ttf", ".otf", ".ttc", ".woff", ".woff2"), "a font"),
    **dict.fromkeys((".icc", ".icm"), "a colour profile"),
    **dict.fromkeys((".tmp", ".lnk", ".log", ".bak", ".lck"), "left by a program"),
}
