"""`python -m buildbook`."""

from buildbook.cli import main

main()
