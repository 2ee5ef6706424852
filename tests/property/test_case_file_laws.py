"""The reader of a case and the schema it publishes say the same."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import jsonschema
import pytest
from hypothesis import given, settings
from tests.strategies import case_values

from lumenkeep.errors import CaseError
from lumenkeep.files.case.case_file import case_from_mapping, case_from_text
from lumenkeep.files.case.schema import case_schema

if TYPE_CHECKING:
    from lumenkeep.errors import Fault

# Many examples a test: a busy machine takes its time.
pytestmark = pytest.mark.timeout(60)
VALIDATOR = jsonschema.Draft202012Validator(case_schema())


def is_of_sense(fault: Fault) -> bool:
    """Return whether a fault is about what a case says and not about its shape.

    A schema cannot know the order of instants, the zones there are, how far a
    gestation goes, which years are near, or that "iodin" was meant as iodine.
    """
    key = fault.where.rpartition(": ")[2]
    match fault.code:
        case "case-contradiction" | "case-unknown-zone":
            return True
        case "case-unknown-word":
            return key.startswith("child.sensitivities[")
        case "case-impossible":
            return key == "child.gestation_at_birth" or "year" in fault.what
        case _:
            return False


def faults_of(value: Any) -> tuple[Fault, ...]:
    try:
        case_from_mapping(value, "case.json")
    except CaseError as error:
        return error.faults
    return ()


def test_the_schema_is_itself_in_order() -> None:
    jsonschema.Draft202012Validator.check_schema(case_schema())


@settings(max_examples=150)
@given(case_values)
def test_schema_and_reader_find_the_same_files_well_formed(value: Any) -> None:
    shape = [str(fault) for fault in faults_of(value) if not is_of_sense(fault)]

    errors = [error.message for error in VALIDATOR.iter_errors(value)]

    assert bool(shape) is bool(errors), (shape, errors)


@settings(max_examples=60)
@given(case_values)
def test_every_fault_names_file_and_key_and_how_to_mend_it(value: Any) -> None:
    for fault in faults_of(value):
        assert fault.where.startswith("case.json: ")
        assert fault.what.endswith((".", "?"))
        assert fault.mend
        assert fault.code.startswith("case-")


@given(case_values)
def test_a_file_and_its_value_read_alike(value: Any) -> None:
    from_text: tuple[Fault, ...] = ()

    try:
        case_from_text(json.dumps(value), "case.json")
    except CaseError as error:
        from_text = error.faults

    assert from_text == faults_of(value)
