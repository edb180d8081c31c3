"""`python -m imposer` is the command line."""

from imposer.cli import main

main()
