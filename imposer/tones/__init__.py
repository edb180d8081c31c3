"""Measurements on tone planes: arrays and millimetres in, frozen values and numbers out; no files, no screen, no job.

A *tone plane* is one page or one master in one ink: (height, width) uint8, 0 = bare paper, 255 = full tone, first row
at the top; its pixels per inch give the scale. Boxes are in mm from the lower left corner of the plane.

Read in this order: `plane` (a plane and the smaller ones made of it, each made once), `packed`, `parts` and
`distance` (shapes: 64 pixels a word, connected parts, how far to the nearest), then one module a subject: `coverage`,
`levels`, `solids`, `strokes`, `content`, `enlargement`, `screened`, `likeness`; and for registration `drift`,
`slivers` (the closed form) and `trials` (the judge).
"""
