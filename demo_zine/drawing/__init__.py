"""The pieces that `demo_zine/draw.py` draws the zine with: the hand, the letters, the plates, the motifs, the pages."""
