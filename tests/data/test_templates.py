"""The example shop is found in a checkout and in an installed package, and nowhere else."""

from __future__ import annotations

import pytest

from imposer.data import templates


def a_package(tmp_path, *folders):
    """An installation with the example shop in each of these folders."""
    for folder in folders:
        (tmp_path / folder).mkdir(parents=True)
        (tmp_path / folder / "shop.toml").touch()
    data = tmp_path / "imposer" / "data"
    data.mkdir(parents=True, exist_ok=True)
    return data


def test_the_checkout_holds_the_example_shop():
    assert (templates.templates_folder() / "shop.toml").is_file()


def test_a_wheel_carries_them_inside_the_package(tmp_path, monkeypatch):
    # Beside an installed package lie other people's folders; one called "templates" is not ours.
    monkeypatch.setattr(templates, "FOLDER", a_package(tmp_path, "imposer/_templates", "templates"))
    assert templates.templates_folder() == tmp_path / "imposer" / "_templates"


def test_a_checkout_has_them_beside_the_package(tmp_path, monkeypatch):
    monkeypatch.setattr(templates, "FOLDER", a_package(tmp_path, "templates"))
    assert templates.templates_folder() == tmp_path / "templates"


def test_a_broken_installation_says_so(tmp_path, monkeypatch):
    monkeypatch.setattr(templates, "FOLDER", a_package(tmp_path))
    with pytest.raises(FileNotFoundError, match="install the program again"):
        templates.templates_folder()
