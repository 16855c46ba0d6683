"""Templates and a stylesheet of the shop's own, laid over those that ship: `templates/portfolio/` in its folder.

They are rendered in Jinja2's sandbox, everything escaped, with the records that the shipped ones get, and within bounds of
time and length. A fault in one is a problem with its file and line, never an exception.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sized
from dataclasses import dataclass
from functools import lru_cache
from time import monotonic
from traceback import walk_tb
from typing import Any

from jinja2 import (
    FunctionLoader,
    TemplateNotFound,
    TemplateSyntaxError,
    nodes,
    pass_context,
    pass_eval_context,
)
from jinja2.exceptions import SecurityError
from jinja2.filters import do_replace
from jinja2.runtime import Context, markup_join
from jinja2.sandbox import ImmutableSandboxedEnvironment
from jinja2.visitor import NodeTransformer

from flipbook.measures.unreadable import shown
from flipbook.rendering import MANNER
from flipbook.shipped import templates_folder
from flipbook.shop.composing import not_utf8
from flipbook.shop.folder import ShopFolder
from flipbook.shop.nearest import choices, nearest
from flipbook.shop.problems import Place, Problem, lines_of

FOLDER = "templates/portfolio"
STYLE = "style.css"
LONGEST_PAGE = 16 * 1024 * 1024
"""The most characters that a page may have."""
LONGEST_TIME = 2.0
"""The most seconds that one page may take."""
_LONGEST_RANGE = 10_000
_LONGEST_TEXT = 4 * 1024 * 1024
_LARGEST_NUMBER = 1 << 53


@dataclass(frozen=True, slots=True)
class OwnTemplates:
    """The shop's own templates by their name, as `portfolio/piece.html`, and its stylesheet; all of them as text."""

    texts: tuple[tuple[str, str], ...] = ()
    style: str | None = None


class OwnFault(Exception):
    """A template of the shop's own that cannot be rendered; it holds the problem to tell."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.says)
        self.problem = problem


def read_own(folder: ShopFolder) -> tuple[OwnTemplates, list[Problem]]:
    """The shop's own templates, each read inside the shop's folder and checked as far as that goes without a page.

    With an error among the problems nothing of them may be used.
    """
    if not folder.is_folder("templates"):
        return OwnTemplates(), []
    if folder.is_link_out("templates") or folder.is_link_out(FOLDER):
        says = "the folder is a link to a place outside the shop"
        return OwnTemplates(), [_problem("leaves-the-shop", FOLDER, says, "copy the folder itself into the shop")]
    names = folder.names(FOLDER)
    if isinstance(names, Problem):
        return OwnTemplates(), [names]
    problems: list[Problem] = []
    texts: dict[str, str] = {}
    for name in (name for name in names if not name.startswith(".")):
        if not name.isprintable() or not (name == STYLE or name.endswith(".html")):
            problems.append(_not_read(name))
            continue
        data = folder.read(f"{FOLDER}/{name}")
        if isinstance(data, Problem):
            problems.append(data)
            continue
        try:
            texts[f"portfolio/{name}"] = data.decode("utf-8-sig")
        except UnicodeDecodeError as fault:
            problems.append(not_utf8(f"{FOLDER}/{name}", data, fault))
    style = texts.pop(f"portfolio/{STYLE}", None)
    own = OwnTemplates(tuple(texts.items()), style)
    return own, [*problems, *_faults(own)]


def render_own(own: OwnTemplates, name: str, given: Mapping[str, object]) -> bytes:
    """A page by the shop's own templates, with the shipped ones below them. Raises OwnFault."""
    parts = []
    size = 0
    sandbox = _environment(own.texts)
    try:
        template = sandbox.get_template(name)
        sandbox.until = monotonic() + LONGEST_TIME
        for part in template.generate(**given):
            parts.append(part)
            size += len(part)
            if size > LONGEST_PAGE:
                raise SecurityError(_ENDLESS)
        return "".join(parts).encode("utf-8", "replace")
    except Exception as fault:  # a template can raise whatever an expression in it can
        raise OwnFault(_told(own, name, fault)) from None


def shipped_names() -> tuple[str, ...]:
    """The names that a file of the shop's own may have to be laid over a shipped one."""
    there = (templates_folder() / "portfolio").iterdir()
    return tuple(sorted(path.name for path in there if path.suffix == ".html" or path.name == STYLE))


def _not_read(name: str) -> Problem:
    near = nearest(name, shipped_names())
    help = f"rename it to `{near}`" if near else f"a shop's own are templates that end in `.html`, and `{STYLE}`"
    return _problem("not-read", f"{FOLDER}/{shown(name)}", "this file is not read", help, warning=True)


def _faults(own: OwnTemplates) -> Iterator[Problem]:
    """What can be told of each template by itself; and names that are nearly one that ships, which cover nothing."""
    shipped = shipped_names()
    all_texts = "".join(text for _, text in own.texts)
    for name, text in own.texts:
        base = name.rpartition("/")[2]
        try:
            _environment(own.texts).parse(text, name, name)
        except TemplateSyntaxError as fault:
            yield _told(own, name, fault)
        except Exception as fault:  # a text nested without end, for one
            yield _told(own, name, fault)
        if base not in shipped and base not in all_texts:
            near = nearest(base, shipped)
            help = f"rename it to `{near}`" if near else f"name it as what it covers: {choices(shipped)}"
            yield _problem("covers-nothing", f"{FOLDER}/{base}", "no page is made by this template", help, warning=True)


def _told(own: OwnTemplates, name: str, fault: Exception) -> Problem:
    """The problem to tell of what a template raised: the file and the line of the shop's own that it came from."""
    ours = {name for name, _ in own.texts}
    file, line = (fault.name or name, fault.lineno) if isinstance(fault, TemplateSyntaxError) else _where(fault, ours)
    if file not in ours:
        file, line = (name, 0) if name in ours else (min(ours, default=name), 0)
    what = " ".join(str(fault).split()) or type(fault).__name__
    says = {
        TemplateSyntaxError: "this is no template that can be read",
        SecurityError: "a template may not do this",
        RecursionError: "the template goes round in a circle",
    }.get(type(fault), "the template cannot be rendered with what it is given")
    help = "the names that it is given are in the table of fields in flipbook's templates/README.md; the pages stay as they were"
    place = _line_of(dict(own.texts).get(file, ""), f"templates/{file}", line)
    return Problem(name="own-template", place=place, says=says, label=shown(_without_paths(what), 160), help=help)


def _line_of(text: str, file: str, line: int) -> Place:
    """A line of a template, all that stands in it."""
    lines = lines_of(text)
    if not 1 <= line <= len(lines):
        return Place(file)
    written = lines[line - 1].rstrip()
    return Place(file, line, len(written) - len(written.lstrip()) + 1, len(written) + 1)


def _where(fault: Exception, ours: set[str]) -> tuple[str, int]:
    """The last line of the shop's own that was being rendered; Jinja2 names its templates in the traceback."""
    frames = [(frame.f_code.co_filename, line) for frame, line in walk_tb(fault.__traceback__)]
    return next(((file, line) for file, line in reversed(frames) if file in ours), ("", 0))


def _without_paths(text: str) -> str:
    return re.sub(r"0x[0-9a-f]+", "…", text.replace(str(templates_folder()), "templates")).replace(
        "flipbook.portfolio.", ""
    )


def _problem(name: str, file: str, says: str, help: str, *, warning: bool = False) -> Problem:
    return Problem(name=name, place=Place(file), says=says, help=help, warning=warning)


class _Sandbox(ImmutableSandboxedEnvironment):
    """Nothing with an underscore, nothing that changes what is given, and no arithmetic without bounds."""

    intercepted_binops = frozenset(("*", "**", "%", "+"))
    until = 0.0
    """When the page that is being made has to be done."""

    def call_binop(self, context: Any, operator: str, left: Any, right: Any) -> Any:
        """Arithmetic with numbers; texts and lists are only ever added, and not without bounds."""
        if operator == "+" and isinstance(left, Sized) and isinstance(right, Sized):
            _bounded(len(left) + len(right))
        elif not (_is_number(left) and _is_number(right)):
            raise SecurityError(f"`{operator}` is for numbers; `~` joins texts")
        elif operator == "**":
            raise SecurityError("`**` is not for templates")
        return super().call_binop(context, operator, left, right)

    def is_safe_attribute(self, obj: Any, attr: str, value: Any) -> bool:
        """As the sandbox has it, and no method that makes a text of any length."""
        return super().is_safe_attribute(obj, attr, value) and not (isinstance(obj, str) and attr in _GROWING)

    def _parse(self, source: str, name: str | None, filename: str | None) -> nodes.Template:
        tree = super()._parse(source, name, filename)
        # Escaping is not theirs to switch off, whatever the text.
        for kind in (nodes.EvalContextModifier, nodes.ScopedEvalContextModifier):
            for node in tree.find_all(kind):
                raise TemplateSyntaxError("escaping can't be switched off", node.lineno, name, filename)
        for repeated in tree.find_all((nodes.For, nodes.Macro)):
            assert isinstance(repeated, nodes.For | nodes.Macro)
            clock = nodes.Filter(nodes.Const(""), _CLOCK, [], [], None, None, lineno=repeated.lineno)
            repeated.body.insert(0, nodes.Output([clock], lineno=repeated.lineno))
        bounded: nodes.Template = _JoinsWithBounds().visit(tree)
        return bounded


class _JoinsWithBounds(NodeTransformer):
    """Every `a ~ b` becomes a filter of ours, which knows how long a text may get."""

    def generic_visit(self, node: nodes.Node, *args: Any, **kwargs: Any) -> nodes.Node:
        """A node as it is to be compiled, what is in it first."""
        node = super().generic_visit(node, *args, **kwargs)
        if not isinstance(node, nodes.Concat):
            return node
        return nodes.Filter(nodes.List(node.nodes), _JOIN, [], [], None, None, lineno=node.lineno)


_ENDLESS = "the page never seems to end"
_CLOCK, _JOIN = "looks at the clock", "joined"
_GROWING = frozenset(
    ("format", "format_map", "ljust", "rjust", "center", "zfill", "expandtabs", "replace", "translate")
)
# What takes escaping off, and what makes much of a little.
_NOT_FOR_TEMPLATES = (
    "safe", "format", "center", "indent", "pprint", "attr", "xmlattr", "tojson", "batch", "slice", "round",
)  # fmt: skip


def _is_number(value: object) -> bool:
    return isinstance(value, float) or (isinstance(value, int) and abs(value) <= _LARGEST_NUMBER)


def _bounded(length: int) -> None:
    if length > _LONGEST_TEXT:
        raise SecurityError("a text or a list grows too long")


@pass_context
def _clock(context: Context, nothing: str) -> str:
    assert isinstance(context.environment, _Sandbox)
    if monotonic() > context.environment.until:
        raise SecurityError(_ENDLESS)
    return nothing


def _joined(parts: Iterable[object]) -> str:
    texts = list(parts)
    joined: str = markup_join(texts)
    _bounded(len(joined))
    return joined


@pass_eval_context
def _replaced(context: nodes.EvalContext, text: str, old: str, new: str) -> str:
    _bounded(len(text) + str(text).count(str(old)) * len(str(new)))
    return do_replace(context, text, old, new)


def _short_range(*bounds: int) -> range:
    numbers = range(*bounds)
    if len(numbers) > _LONGEST_RANGE:
        raise SecurityError(f"`range` goes to {_LONGEST_RANGE} at most")
    return numbers


@lru_cache(maxsize=2)
def _environment(texts: tuple[tuple[str, str], ...]) -> _Sandbox:
    """The shop's own texts, and the shipped files of the portfolio where it has none; no name leads to another file."""
    own = dict(texts)

    def laid(template: str) -> tuple[str, str, None]:
        if template in own:
            return own[template], template, None
        room, _, base = template.partition("/")
        if room != "portfolio" or base not in shipped_names() or base == STYLE:
            raise TemplateNotFound(template)
        path = templates_folder() / "portfolio" / base
        return path.read_text("utf-8"), str(path), None

    environment = _Sandbox(loader=FunctionLoader(laid), autoescape=True, **MANNER)
    for name in _NOT_FOR_TEMPLATES:
        environment.filters.pop(name, None)
    environment.filters |= {_CLOCK: _clock, _JOIN: _joined, "replace": _replaced}
    environment.globals.pop("lipsum", None)
    environment.globals.pop("namespace", None)
    environment.globals["range"] = _short_range
    return environment
