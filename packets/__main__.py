"""`python -m packets`."""

from packets.cli import main

main()
