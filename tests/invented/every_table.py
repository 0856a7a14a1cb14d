"""Every table of a scenario by its address."""

from pydantic_core import PydanticUndefined

from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.types.refusals import model_in
from simulation.scenario.types.section import Section


def models(model=Scenario, path=""):
    """Every table by its address, as far as it does not stand in the line of a key."""
    yield path, model
    for name, field in model.model_fields.items():
        inner = model_in(field.annotation)
        if inner and issubclass(inner, Section) and (field.default_factory or field.default in (PydanticUndefined, None, ())):
            yield from models(inner, f"{path}.{field.alias or name}".strip("."))


MODELS = dict(models())
