"""`flipbook complete`: what a shell is told so that it completes the words of a command."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from flipbook.cli.ending import DONE

PAGE = """\
flipbook complete [SHELL]

Shows the lines that let your shell complete flipbook's commands, options,
pieces, products, outlets and kinds of expense at a press of the tab key. SHELL
is bash, zsh or fish; left out, the one you log in with. To have it in every
terminal, add the line for yours to the file beside it:

  eval "$(flipbook complete bash)"    ~/.bashrc
  eval "$(flipbook complete zsh)"     ~/.zshrc, below its `compinit`
  flipbook complete fish | source     ~/.config/fish/config.fish
"""


def take_words(parser: argparse.ArgumentParser) -> None:
    """Tell the parser what may follow the command."""
    parser.add_argument("shell", nargs="?", metavar="SHELL", choices=("bash", "zsh", "fish"))


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from argcomplete.shell_integration import shellcode

    own = Path(os.environ.get("SHELL", "")).name
    shell = arguments.shell or (own if own in ("zsh", "fish") else "bash")
    sys.stdout.write(shellcode(["flipbook"], shell=shell) + "\n")
    return DONE
