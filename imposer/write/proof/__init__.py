"""The proof page, `proof.html`: how a job will look, on any screen, before a master is cut.

Finished values come in (`imposer.prepared`), one file goes out that works offline and asks nothing from anywhere.
Python packs the ink layers and all that was decided; the page in `page/` computes the colours from the separate inks
with the overprint model of `imposer.ink`, so that it can shift a drum or put another ink in it at once.
"""

from imposer.write.proof.document import write_proof

__all__ = ["write_proof"]
