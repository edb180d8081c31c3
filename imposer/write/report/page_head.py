"""The head that both pages of a report share: their style, and that nothing is asked from outside."""

from __future__ import annotations

from html import escape
from pathlib import Path

from imposer.offline import NOTHING_OUTSIDE


def style() -> str:
    """Return the style of both pages."""
    return Path(__file__).with_name("report.css").read_text(encoding="utf-8")


def head(title: str) -> str:
    """Return the head of a page that asks for nothing from outside."""
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<meta http-equiv="Content-Security-Policy" content="{NOTHING_OUTSIDE}">'
        f"<title>{escape(title)}</title><style>{style()}</style></head><body>"
    )
