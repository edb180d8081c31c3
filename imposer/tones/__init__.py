"""Measurements on tone planes: arrays and millimetres in, frozen values and numbers out; no files, no screen, no job.

A *tone plane* is one page or one master in one ink: (height, width) uint8, 0 = bare paper, 255 = full tone, first row
at the top; its pixels per inch give the scale. Boxes are in mm from the lower left corner of the plane.

Read in this order: `plane` (a plane and the smaller ones made of it, each made once); `packed`, `parts` and `distance`
(shapes: 64 pixels a word, connected parts, how far to the nearest); then a module a subject: `coverage` and `margins`
with `rim`, `levels`, `solids`, `strokes` with `stroke_extents` and `stroke_probes`, `content`, `enlargement`,
`screened`, `likeness`. Registration is `ink_areas` (all inks on one grid), `drift` (how they shift), `slivers` (the
closed form, for ranking) and `trials` (the judge).
"""
