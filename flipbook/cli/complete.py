"""`flipbook complete`: what a shell is told so that it completes the words of a command."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from flipbook.cli.ending import DONE, MISUSED
from flipbook.cli.table import Command, Slot

COMMAND = Command(
    name="complete",
    says="the tab key completes words, once this is set up",
    words=(Slot("[SHELL]", choices=("bash", "zsh", "fish")),),
    about="""\
Shows the lines that let your shell complete flipbook's commands, options,
pieces, products, outlets and kinds of expense at a press of the tab key. SHELL
is bash, zsh or fish; left out, the one you log in with. To have it in every
terminal, add the line for yours to the file beside it:
""",
    examples="""\
  eval "$(flipbook complete bash)"    ~/.bashrc
  eval "$(flipbook complete zsh)"     ~/.zshrc, below its `compinit`
  flipbook complete fish | source     ~/.config/fish/config.fish
""",
    statuses=(DONE, MISUSED),
)


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from argcomplete.shell_integration import shellcode

    own = Path(os.environ.get("SHELL", "")).name
    shell = arguments.shell or (own if own in ("zsh", "fish") else "bash")
    sys.stdout.write(shellcode(["flipbook"], shell=shell) + "\n")
    return DONE
