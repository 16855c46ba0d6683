"""What all records share: frozen, typed, with no unknown key, and knowing where they stand."""

from __future__ import annotations

from typing import Any, ClassVar, Self, cast

from pydantic import BaseModel, ConfigDict, Field, ValidationError, ValidationInfo, model_validator

from flipbook.shop.composing import COMMA_IN_BRACES, NOTHING, Block, Node, Scalar, place_of
from flipbook.shop.fields import Reading, reading_of, refused, telling, wrong_kind
from flipbook.shop.nearest import choices, write_instead
from flipbook.shop.problems import Place, Problem

# No key of a file can be this one: a key's spaces become underscores.
_PLACE = " place"

_names: dict[str, str] = {}


def name_of_key(text: str) -> str:
    """A key as the records name it: `sales tax`, `sales-tax` and `sales_tax` are one."""
    name = _names.get(text)
    if name is None:
        name = "_".join(text.replace("-", " ").replace("_", " ").split())
        if len(_names) < 4096:
            _names[text] = name
    return name


class Record(BaseModel):
    """A mapping of one of the shop's files, read."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)

    spot: Place = Field(alias=_PLACE)
    """Where the mapping starts."""

    required: ClassVar[tuple[str, ...]]
    keys: ClassVar[dict[str, str]]
    """The keys that may stand here, as the records name them and as a person writes them."""
    text_form: ClassVar[dict[str, Any]] = {}
    """What an editor's schema says besides, where a text may stand in place of the mapping."""

    @classmethod
    def __pydantic_init_subclass__(cls, **kwargs: Any) -> None:
        aliases = (field.alias or name for name, field in cls.model_fields.items())
        cls.keys = {alias: alias.replace("_", " ") for alias in aliases if alias != _PLACE}
        required = ((field.alias or name, field) for name, field in cls.model_fields.items())
        cls.required = tuple(alias for alias, field in required if field.is_required() and alias != _PLACE)

    @classmethod
    def unwritten(cls, file: str, **values: Any) -> Self:
        """A record that nobody wrote, standing for what is left out of `file`."""
        return cast(Self, cls.model_construct(spot=Place(file), **values))

    @classmethod
    def from_text(cls, scalar: Scalar, reading: Reading) -> Block | None:
        """The mapping that a text in place of one stands for; most records have no such form."""
        return None

    @model_validator(mode="before")
    @classmethod
    def _by_name(cls, node: Any, info: ValidationInfo) -> dict[str, Any]:
        return telling(cls._named)(node, info)

    @classmethod
    def _named(cls, node: Any, info: ValidationInfo) -> dict[str, Any]:
        """The values of a mapping by the records' names; what is odd among its keys is told."""
        reading = reading_of(info)
        block = node
        if block.__class__ is Scalar:
            block = cls.from_text(node, reading)
        if block.__class__ is not Block:
            raise refused(
                wrong_kind(reading.file, node, "a mapping", f"write its keys below it: {choices(cls.keys.values())}")
            )
        named: dict[str, Any] = {_PLACE: place_of(reading.file, node)}
        for key, value in block.pairs:
            name = name_of_key(key.text)
            if name in named:
                reading.tell(_told_twice(reading.file, key))
            elif name not in cls.keys:
                reading.tell(cls.unknown_key(key, value, reading))
            elif value.__class__ is not Scalar or value.text not in NOTHING or not value.bare:
                named[name] = value
        for name in cls.required:
            if name not in named:
                missing = cls.keys[name]
                says, write = f"`{missing}` is missing here", f"add a line `{missing}: …`"
                reading.tell(Problem(name="missing-key", place=named[_PLACE], says=says, help=write))
        return named

    @classmethod
    def unknown_key(cls, key: Scalar, value: Node, reading: Reading) -> Problem:
        """The problem of a key that does not belong here, with the nearest that does."""
        known = list(cls.keys.values())
        is_cut_off = isinstance(value, Scalar) and value.is_empty and key.start.line == value.end.line
        return Problem(
            name="unknown-key",
            place=place_of(reading.file, key),
            says=f"`{key.text[:40]}` is not a key of this mapping",
            help=write_instead(name_of_key(key.text).replace("_", " "), known, f"write {choices(known, most=30)}")
            + (COMMA_IN_BRACES if is_cut_off else ""),
        )

    def problem(
        self, name: str, says: str, write: str, *key: str | int, label: str = "", warning: bool = False
    ) -> Problem:
        """A problem of this mapping, marked at `key` within it when one is named."""
        return Problem(name=name, place=self.spot, says=says, label=label, help=write, key=key, warning=warning)


def _told_twice(file: str, key: Scalar) -> Problem:
    return Problem(
        name="duplicate-key",
        place=place_of(file, key),
        says=f"`{key.text[:40]}` stands here for the second time",
        help="keep one of the two; a list holds several values under one key",
    )


def duplicates(file: str, block: Block, fold: Any) -> list[Problem]:
    """The keys that stand twice in a mapping whose keys are names, folded by `fold`."""
    seen: set[str] = set()
    found = []
    for key, _ in block.pairs:
        name = fold(key.text)
        if name in seen:
            found.append(_told_twice(file, key))
        seen.add(name)
    return found


def only_refusals(fault: ValidationError) -> None:
    """Every refusal was told when it was met; anything else that pydantic has to say is a fault of ours, and raised."""
    if any(
        error["type"] not in ("refused", "missing") for error in fault.errors(include_url=False, include_input=False)
    ):
        raise fault
