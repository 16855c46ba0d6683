"""`flipbook complete`: what a shell is told so that it completes the words of a command."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from argcomplete.shell_integration import shellcode

from flipbook.cli.ending import DONE


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    own = Path(os.environ.get("SHELL", "")).name
    shell = arguments.shell or (own if own in ("zsh", "fish") else "bash")
    sys.stdout.write(shellcode(["flipbook"], shell=shell) + "\n")
    return DONE
