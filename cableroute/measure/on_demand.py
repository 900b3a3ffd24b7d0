"""Tables of a route file whose models are imported and built when a file first holds one.

A model costs milliseconds, most files hold few of all tables, and many commands read a file.
"""

from __future__ import annotations

from functools import cached_property
from importlib import import_module
from typing import TYPE_CHECKING, Annotated, Any, TypeVar

from pydantic import BaseModel, GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic_core import core_schema

Entry = TypeVar("Entry")


class _Later:
    """Holds a value against a model, given itself or as ``module:Name``; faults keep their place."""

    def __init__(self, promised: type[BaseModel] | str) -> None:
        self.promised = promised

    @cached_property
    def model(self) -> type[BaseModel]:
        if not isinstance(self.promised, str):
            return self.promised
        module, name = self.promised.split(":")
        found: type[BaseModel] = getattr(import_module(module), name)
        return found

    def read(self, value: Any, info: ValidationInfo) -> Any:
        return self.model.model_validate(value, context=info.context)

    def __get_pydantic_core_schema__(self, _: Any, __: GetCoreSchemaHandler) -> Any:
        return core_schema.with_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, _: Any, handler: GetJsonSchemaHandler) -> Any:
        self.model.model_rebuild()  # it may still be to be built
        model: Any = self.model.__pydantic_core_schema__
        ref = f"{self.model.__module__}.{self.model.__qualname__}:{id(self.model)}"
        named = {**model, "ref": ref}
        return handler(core_schema.definitions_schema(named, []))  # where a name becomes a $ref


if TYPE_CHECKING:
    Later = Annotated[Entry, ...]
else:

    class Later:
        """``Later[Model]`` is that model to a reader, and to pydantic a promise of it."""

        def __class_getitem__(cls, model: Any) -> Any:
            return Annotated[Any, _Later(model)]
