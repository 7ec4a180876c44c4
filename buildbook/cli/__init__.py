"""The command line: parse, call, choose the exit code. Results to stdout, messages to stderr, no tracebacks."""

from __future__ import annotations

import os
import sys
import traceback
from pathlib import Path

import click

from buildbook.errors import BuildbookError, ExitCode
from buildbook.report import printable


def main(argv: list[str] | None = None) -> None:
    """Entry point of the `buildbook` command; ends the process with a published exit code."""
    sys.exit(run(argv))


def run(argv: list[str] | None = None) -> int:
    """Run one command and give its exit code."""
    from buildbook.cli.commands import cli

    _steady_streams()
    try:
        result = cli.main(args=argv, prog_name="buildbook", standalone_mode=False)
        return int(result) if isinstance(result, int) else int(ExitCode.FINE)
    except click.exceptions.Exit as error:
        return error.exit_code
    except click.ClickException as error:
        error.show()
        return int(ExitCode.WRONG_USAGE)
    except click.Abort:
        click.echo("Stopped. Nothing half-written was left.", err=True)
        return 130
    except BrokenPipeError:
        # The reader (a pager, `head`) closed the pipe: not a failure; keep the interpreter from complaining.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return int(ExitCode.FINE)
    except BuildbookError as error:
        _tell(str(error))
        return int(error.exit_code)
    except KeyboardInterrupt:
        click.echo("Stopped. Nothing half-written was left.", err=True)
        return 130
    except Exception as error:
        if os.environ.get("BUILDBOOK_DEBUG"):
            traceback.print_exc()
        where = traceback.extract_tb(error.__traceback__)[-1]
        _tell(
            f"A fault of ours: {type(error).__name__}: {error} ({Path(where.filename).name}:{where.lineno}).\n"
            "  What to do: nothing of yours was changed. Report this line, with what you called; "
            "BUILDBOOK_DEBUG=1 shows more."
        )
        return int(ExitCode.OUR_FAULT)


def _tell(message: str) -> None:
    click.echo(printable(message), err=True)


def _steady_streams() -> None:
    """Names in any script print on any terminal: what it cannot show is escaped, never an error."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")
