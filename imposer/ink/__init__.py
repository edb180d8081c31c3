"""What translucent inks on paper will look like: numbers in, numbers out; no files, no screen.

Read in this order: `defaults` (every constant, with where it comes from), `colour` and `difference` (colour spaces and
how far apart two colours look), `film` (one ink laid on what is under it), `halftone` (tints of the solid colours),
`overprint` (the model and its prediction), `raster` and `table` (whole pages of it), `page` (its constants for a
browser). The proof, the report and all later work on colour share this one model.
"""
