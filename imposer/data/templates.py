"""Where the job folders and the example shop that ship with the program lie."""

from __future__ import annotations

from pathlib import Path

from imposer.data import FOLDER


def templates_folder() -> Path:
    """Return the folder of templates: inside the package if installed from a wheel, else beside it in a checkout.

    Raises:
        FileNotFoundError: the installation is broken; neither place holds the example shop.
    """
    package = FOLDER.parent
    for folder in (package / "_templates", package.parent / "templates"):
        if (folder / "shop.toml").is_file():
            return folder
    raise FileNotFoundError(f"no templates beside {package}; install the program again")
