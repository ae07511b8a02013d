"""What can be checked, and how a characteristic is made: pages written from the declarations."""

import json
import re
from pathlib import Path

import pytest

from qc.engine.case import judge_case
from qc.engine.characteristic import Characteristic
from qc.engine.characteristics import ALL, CHARACTERISTICS
from qc.web.pages.characteristics import example_of
from qc.web.templatetags.parts import printed
from tests.people import People
from tests.web.visitor import signed_in, text_of

LIST = "/about/characteristics/"
PAPER = (Path(__file__).resolve().parents[2] / "DEVELOPERS.md").read_text("utf-8")
every = pytest.mark.parametrize("characteristic", ALL, ids=lambda c: c.key)


def test_the_list_leads_to_every_characteristic_of_the_register(people: People) -> None:
    page = signed_in(people.ines).get(LIST)
    written = page.content.decode()
    for characteristic in ALL:
        assert f'href="{LIST}{characteristic.key}/"' in written
        first, *_ = characteristic.criteria
        assert f"{characteristic.title} {characteristic.key} {first.label}" in text_of(page)


def test_every_page_leads_there(people: People) -> None:
    assert f'href="{LIST}"' in signed_in(people.clara).get("/").content.decode()


@every
def test_a_page_names_every_field_with_its_unit_offer_and_source(
    people: People, characteristic: Characteristic
) -> None:
    page = signed_in(people.clara).get(f"{LIST}{characteristic.key}/")
    words = text_of(page)
    for field in (*characteristic.criteria, *characteristic.reading, *characteristic.computed):
        assert f"{field.label} {field.name} " in words, field.name
        assert field.default_source in words
    assert characteristic.method[:60] in words
    assert all(caution in words for caution in characteristic.cautions)


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("thickness", "Nominal thickness nominal Quantity in µm (US: mil), 0 to 500000 µm"),
        ("ambient", "Steel temperature steel List of quantity in °C (US: °F)"),
        ("salts", "50 mg/m². Source: IMO performance standard for protective coatings"),
        ("hardness", "Scale scale Choice, one of: shore_d, shore_a, barcol, pencil. Needed"),
        ("thickness", "Zones zones List of rows, each with zone, min"),
        ("ambient", "Lowest air temperature is never above: Highest air temperature"),
        ("cure", "Figures: no figures of its own: the plan states them"),
        ("profile", "Figures: ISO 8503, ASTM D4417, SSPC-PA 17"),
    ],
)
def test_what_a_field_takes_is_said_in_words(people: People, key: str, said: str) -> None:
    assert said in text_of(signed_in(people.ines).get(f"{LIST}{key}/"))


@every
def test_an_example_is_a_case_that_conforms_and_states_its_sources(
    characteristic: Characteristic,
) -> None:
    example = example_of(characteristic.key)
    assert example["characteristic"] == characteristic.key
    assert judge_case(example)["outcome"] == "conforms"
    assert set(example["sources"]) == set(example["criteria"])
    offers = {f.name: f for f in characteristic.criteria}
    for name, source in example["sources"].items():
        offered = offers[name].default is not None
        is_offer = offered and example["criteria"][name] == offers[name].default
        expected = offers[name].default_source if is_offer else "specification of the project"
        assert source == expected, name


@every
def test_a_page_shows_the_example_its_verdict_and_the_schema(
    people: People, characteristic: Characteristic
) -> None:
    page = signed_in(people.ines).get(f"{LIST}{characteristic.key}/")
    example, verdict, schema = (
        json.loads(page.context[name]) for name in ("example", "verdict_text", "schema")
    )
    assert verdict == judge_case(example)
    assert schema == characteristic.schema()
    words = text_of(page)
    assert f"judge --schema {characteristic.key}" in words
    assert '"$schema": "https://json-schema.org/draft/2020-12/schema"' in words
    for finding in verdict["findings"]:
        assert printed(finding["statement"]).replace("\N{NO-BREAK SPACE}", " ") in words


def test_there_is_no_page_for_a_key_that_is_not_registered(people: People) -> None:
    assert "zinc" not in CHARACTERISTICS
    assert signed_in(people.ines).get(f"{LIST}zinc/").status_code == 404


def test_nothing_is_sent_to_these_pages(people: People) -> None:
    assert signed_in(people.ines).post(LIST, {}).status_code == 405
    assert signed_in(people.ines).post(f"{LIST}ambient/", {}).status_code == 405


def test_the_page_tells_the_steps_as_the_paper_for_developers_does(people: People) -> None:
    section = PAPER.split("## How to add a characteristic\n")[1].split("\n## ")[0]
    told = re.sub(r"^\d+\. ", "", section, flags=re.MULTILINE).replace("`", "")
    page = text_of(signed_in(people.carl).get(LIST))
    assert len(re.findall(r"^\d+\. ", section, flags=re.MULTILINE)) > 4
    assert f"Adding one {' '.join(told.split())}" in page
