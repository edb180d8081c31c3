"""Press sheets: safe area, panels, creep, marks, and from them a frame for every side. Lengths, no files."""
