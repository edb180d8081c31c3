"""`fold.html`: the masters folded back, to be looked at. One file with no outside requests and no script."""

from imposer.write.fold_page.document import fold_page, write_fold_page

__all__ = ["fold_page", "write_fold_page"]
