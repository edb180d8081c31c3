"""`proof.pdf`: the booklet as it will look, for paper or a mail, with a page to sign.

Spreads in reading order in simulated colour; every ink by itself; what is printed on what; the proof code.
"""

from __future__ import annotations

from imposer.write.proof_pdf.document import write_proof_pdf

__all__ = ["write_proof_pdf"]
