"""How fast a shop compiles, as ratios to a floor measured in the same run.

The floor is the work that cannot be left out: composing the same YAML with ruamel.yaml's C composer
(`YAML(typ="safe").compose`), rendering the same pages with jinja2 from records that are ready, and writing
them, in one process. Beside it stands the bare floor, with the composer's loader called directly, which
leaves out what `YAML` does around it. The floor renders every table row by row in its template, as jinja2
does it (`ROW_BY_ROW`), though a compile hands the rows of some to their templates as ready lines.

`--again` measures what is done a second time, in `compiled_again.py`.

    python tests/bench/run.py                    2,000 pieces against the floor
    python tests/bench/run.py --again            and with nothing changed, and after one log was saved
    python tests/bench/run.py --growth           and what a piece costs in a shop of 500 and of 4,000
    python tests/bench/run.py --at-most 2.0      end with 1 when the first compile is over that ratio
"""

from __future__ import annotations

import argparse
import gc
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import cache
from pathlib import Path
from statistics import median
from typing import Any
from unittest.mock import patch

from jinja2 import Template
from made_shop import make_shop
from ruamel.yaml import YAML
from ruamel.yaml.cyaml import CSafeLoader

from flipbook.compile import compile_shop
from flipbook.rendering import environment, renderer, shipped_file

Rendered = tuple[Callable[..., str], dict[str, object]]

# What a template of ours hands over to `body_rows`, as it would stand there without that function.
ROW_BY_ROW = {
    "books/table.html": (
        """\
    {% for lines in body %}
{{ lines }}
    {%- endfor %}
""",
        """\
    {% for row in table.rows %}
    {% if table.names_its_rows %}
    <tr><th scope="row">{{ row[0] }}</th><td>{{ between.join(row[1:]) }}</td></tr>
    {% else %}
    <tr><td>{{ between.join(row) }}</td></tr>
    {% endif %}
    {% endfor %}
""",
    ),
    "books/year.html": (
        """\
{{ body_rows(line.rows, first_names_it=false, indent="      ") }}      </tbody>
""",
        """\
      {% for row in line.rows %}
      <tr><td>{{ between.join(row) }}</td></tr>
      {% endfor %}
      </tbody>
""",
    ),
}


def compiled(root: Path, out: Path) -> tuple[float, float]:
    """Seconds and MiB of one first compile, in a process of its own, its start and imports included."""
    code = f"""
import re, sys, time
started = time.perf_counter()
from flipbook.cli.main import main
ended = main(["compile", {str(root)!r}, "--out", {str(out)!r}])
seconds = time.perf_counter() - started
peak = int(re.search(r"VmHWM:\\s+([0-9]+)", open("/proc/self/status").read())[1]) / 1024
print(ended, seconds, peak, file=sys.stderr)
"""
    told = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True).stderr
    status, seconds, memory = told.splitlines()[-1].split()
    assert status == "0", told
    return float(seconds), float(memory)


@cache
def row_by_row(name: str) -> Callable[..., str]:
    """The function that renders a template with every cell of a table escaped by the template itself."""
    handed_over, written_out = ROW_BY_ROW.get(name, ("", ""))
    text = shipped_file(name).decode()
    if not handed_over or handed_over not in text:
        return renderer(name)
    between = '{% set between = "</td><td>" | safe %}\n'
    return environment().from_string(between + text.replace(handed_over, written_out)).render


def renders_of(root: Path, out: Path) -> list[Rendered]:
    """Every page's template and its ready records, caught on their way through a compile, whichever module makes it."""
    caught: list[tuple[str, dict[str, object]]] = []

    def catching(work: Callable[..., Any]) -> Callable[..., Any]:
        def catch(template: Template, **variables: object) -> Any:
            assert template.name is not None
            caught.append((template.name, variables))
            return work(template, **variables)

        return catch

    with (
        patch.object(Template, "render", catching(Template.render)),
        patch.object(Template, "generate", catching(Template.generate)),
    ):
        compile_shop(root, out)
    return [(row_by_row(name), variables) for name, variables in caught]


def floors(root: Path, renders: list[Rendered], out: Path) -> tuple[float, float]:
    """Seconds of the work that cannot be left out, and the same with the composer's loader called directly."""
    files = [*(root / "pieces").glob("*/piece.yaml"), *(root / "receipts").glob("*.yaml"), root / "shop.yaml"]
    out.mkdir()
    gc.collect()
    gc.disable()
    bare = time.perf_counter()
    for file in files:
        CSafeLoader(file.read_text(encoding="utf-8")).get_single_node()
    bare = time.perf_counter() - bare
    composer = YAML(typ="safe", pure=False)
    composing = time.perf_counter()
    for file in files:
        composer.compose(file.read_text(encoding="utf-8"))
    composing = time.perf_counter() - composing
    rendering = time.perf_counter()
    for number, (render, variables) in enumerate(renders):
        (out / f"{number}.html").write_bytes(render(**variables).encode())
    rendering = time.perf_counter() - rendering
    gc.enable()
    return composing + rendering, bare + rendering


def main() -> int:
    words = argparse.ArgumentParser(description="Compile an invented shop and hold the time against the floor.")
    words.add_argument("--pieces", type=int, default=2000)
    words.add_argument("--runs", type=int, default=3)
    words.add_argument("--again", action="store_true")
    words.add_argument("--growth", action="store_true")
    words.add_argument("--at-most", type=float)
    arguments = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        make_shop(home / "shop", arguments.pieces)
        renders = renders_of(home / "shop", home / "warm")
        ratios, bare_ratios, peak = [], [], 0.0
        for run in range(arguments.runs):
            took, memory = compiled(home / "shop", home / f"out-{run}")
            least, bare = floors(home / "shop", renders, home / f"floor-{run}")
            ratios.append(took / least)
            bare_ratios.append(took / bare)
            peak = max(peak, memory)
            print(
                f"first compile {took:.2f} s, floor {least:.2f} s: {ratios[-1]:.2f}; bare floor {bare:.2f} s: {bare_ratios[-1]:.2f}"
            )
        print(
            f"{arguments.pieces} pieces: first compile {median(ratios):.2f} x the floor, "
            f"{median(bare_ratios):.2f} x the bare floor (medians), peak memory {peak:.0f} MiB"
        )
        if arguments.again:
            del renders
            beside = Path(__file__).with_name("compiled_again.py")
            subprocess.run([sys.executable, str(beside), str(home / "shop"), str(home)], check=True)
        if arguments.growth:
            each = {}
            for pieces in (500, 4000):
                make_shop(home / f"shop-{pieces}", pieces)
                each[pieces] = (
                    median(compiled(home / f"shop-{pieces}", home / f"grown-{pieces}-{n}")[0] for n in range(3))
                    / pieces
                )
            print(f"growth: a piece of 4,000 costs {each[4000] / each[500]:.2f} x a piece of 500")
    return 1 if arguments.at_most is not None and median(ratios) > arguments.at_most else 0


if __name__ == "__main__":
    raise SystemExit(main())
