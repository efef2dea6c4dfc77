"""The program as a process of its own: it heeds signals before anything that takes a moment is imported."""

from __future__ import annotations

from .interruption import INTERRUPTION


def main() -> None:
    """Run the command line; see `gallery.cli.main` for the exit statuses, and `Interruption` for those of signals."""
    INTERRUPTION.heed_signals()
    try:
        from .cli import main as run_command_line

        run_command_line()
    finally:
        INTERRUPTION.finish()


if __name__ == "__main__":
    main()
