"""`python -m flipbook` is `flipbook`."""

from flipbook.cli.main import main

if __name__ == "__main__":
    raise SystemExit(main())
