"""The JSON Schema of a spec, for editors."""

from __future__ import annotations

import json
from typing import Any

from platemaker.spec._project import SHARED_SECTIONS, ProjectModel
from platemaker.spec._reference import explain


def json_schema() -> dict[str, Any]:
    """The schema of any file of a project folder, generated from the models (JSON Schema 2020-12).

    A file is `project.yaml` or a sharer of its bodies, joints and parts: hence no key is required at the top.
    """
    schema = ProjectModel.model_json_schema(by_alias=True)
    explain(schema)
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = "platemaker project"
    schema["anyOf"] = [{"required": ["project"]}, *({"required": [section]} for section in SHARED_SECTIONS)]
    schema.pop("required", None)
    return schema


def schema_text() -> str:
    """The schema as it is written to disk, and as `platemaker schema` prints it."""
    return json.dumps(json_schema(), indent=1, ensure_ascii=False) + "\n"
