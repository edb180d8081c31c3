"""`python -m imposer` and the `imposer` command: listens for interrupts before anything slow is loaded."""

from imposer.interrupts import leave_at_once

leave_at_once()

from imposer.cli import main  # noqa: E402 - after the line above, or an interrupt meets nobody

if __name__ == "__main__":
    main()
