"""From a zine's pages, one file per ink, to the masters, plan and guide for a two-drum stencil duplicator."""
