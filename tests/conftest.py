"""What every test may use."""

import os

import pytest


def pytest_addoption(parser):
    parser.addoption("--update-golden", action="store_true", help="write the golden files anew, then look at the diff")


def pytest_configure(config):
    if config.getoption("--update-golden") and os.environ.get("CI"):
        raise pytest.UsageError("golden files are not accepted in CI")
