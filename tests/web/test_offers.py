"""Values offered for the limits of a step: taken over with their source, or left alone."""

from typing import Any

import pytest

from qc.certificate.page import render_html
from qc.certificate.snapshot import build
from qc.engine.characteristic import Characteristic
from qc.engine.characteristics import ALL
from qc.engine.fields import Field
from qc.engine.plan import Party
from qc.records.models import Inspection, Repair
from qc.records.templates import StepTemplate
from qc.web.forms.plan import EVERY_OFFER
from qc.workflow import agree_plan, revise_plan
from qc.workflow.plan_markup import steps_marked_up
from tests.factories import NOON, act_on, planned_repair, put_signature, record
from tests.people import People
from tests.web.entering import step_of
from tests.web.visitor import sent, signed_in, text_of

OFFERING = [c for c in ALL if any(field.default is not None for field in c.criteria)]
every = pytest.mark.parametrize("characteristic", OFFERING, ids=lambda c: c.key)


def offered(characteristic: Characteristic) -> list[Field]:
    return [field for field in characteristic.criteria if field.default is not None]


def salts(**criteria: Any) -> StepTemplate:
    """A step that checks salts, which offers a limit with a published source."""
    return step_of("salts", criteria={"readings_min": "1", **criteria})


def address(repair: Repair) -> str:
    return f"/repairs/{repair.pk}/plan/edit/steps/{step_in(repair).key}/limits/"


def press(people: People, repair: Repair, what: str, **typed: Any) -> Any:
    """Carl presses a button "Use" without a script running, with `typed` in the form."""
    client = signed_in(people.carl)
    form = client.get(address(repair)).context["form"]
    return client.post(address(repair), sent(form, **typed) | {"take": what})


def save(people: People, page: Any, repair: Repair, **typed: Any) -> Any:
    """Carl saves the form as a page shows it."""
    data = sent(page.context["form"], **typed)
    return signed_in(people.carl).post(address(repair), data)


def step_in(repair: Repair) -> StepTemplate:
    """The step as it is marked up."""
    return steps_marked_up(repair)[0]


@every
def test_what_is_offered_stands_beside_its_field_with_its_source(
    people: People, characteristic: Characteristic
) -> None:
    repair = planned_repair(people, [step_of(characteristic.key)])
    page = signed_in(people.carl).get(address(repair))
    words = text_of(page)
    for field in offered(characteristic):
        assert f"Source: {field.default_source}" in words, field.name
        assert page.context["form"][f"c-{field.name}"].value() in (None, ""), field.name
        assert f'name="take" value="{field.name}"' in page.content.decode()


@every
def test_all_that_is_offered_can_be_taken_over_and_is_kept_with_its_sources(
    people: People, characteristic: Characteristic
) -> None:
    repair = planned_repair(people, [step_of(characteristic.key)])
    page = press(people, repair, EVERY_OFFER)
    assert page.status_code == 200
    assert "Filled in, not yet saved" in text_of(page)
    answer = save(people, page, repair)
    assert answer.status_code == 302, answer.context["form"].errors
    step = step_in(repair)
    fields = offered(characteristic)
    assert {f.name: step.criteria[f.name] for f in fields} == {f.name: f.default for f in fields}
    for field in fields:
        assert step.sources[field.name] == field.default_source


def test_one_offer_is_taken_over_and_nothing_is_saved_before_the_form_is(people: People) -> None:
    repair = planned_repair(people, [salts()])
    page = press(people, repair, "blank_max")
    form = page.context["form"]
    assert form["c-blank_max"].value() == "5"
    assert form["s-blank_max"].value() == "SSPC Guide 15, excerpt read"
    assert not form["c-max"].value()
    assert not form.errors
    assert step_in(repair).criteria == {"readings_min": "1"}
    save(people, page, repair)
    assert step_in(repair).criteria == {"readings_min": "1", "blank_max": "5 uS/cm"}


def test_a_value_taken_over_can_be_changed_with_its_source(people: People) -> None:
    repair = planned_repair(people, [salts()])
    page = press(people, repair, EVERY_OFFER)
    save(people, page, repair, c_max="30", s_max="coating specification, 4.2")
    step = step_in(repair)
    assert (step.criteria["max"], step.sources["max"]) == (
        "30 mg/m2",
        "coating specification, 4.2",
    )


def test_all_offers_at_once_leave_alone_what_is_typed(people: People) -> None:
    repair = planned_repair(people, [salts()])
    page = press(people, repair, EVERY_OFFER, c_max="20", s_max="note 3")
    form = page.context["form"]
    assert (form["c-max"].value(), form["s-max"].value()) == ("20", "note 3")
    assert form["c-contact_min"].value() == "10"


def test_one_offer_replaces_what_is_typed(people: People) -> None:
    page = press(people, planned_repair(people, [salts()]), "max", c_max="20", s_max="note 3")
    assert page.context["form"]["c-max"].value() == "50"


def test_an_offer_that_is_unknown_takes_nothing_over(people: People) -> None:
    page = press(people, planned_repair(people, [salts()]), "no_such_name", c_max="20")
    assert page.status_code == 200
    assert page.context["form"]["c-max"].value() == "20"
    assert "Filled in, not yet saved:" not in text_of(page)


def test_a_limit_that_the_plan_states_is_offered_no_other(people: People) -> None:
    repair = planned_repair(people, [salts(max="20 mg/m2", basis="nacl")])
    form = signed_in(people.carl).get(address(repair)).context["form"]
    assert {"max", "basis"}.isdisjoint(pair.name for pair in form.offered)
    assert {"max", "basis"} <= {pair.name for pair in form.stated}


def test_an_offer_is_written_in_a_unit_that_a_us_project_reads_back(people: People) -> None:
    repair = planned_repair(people, [salts()], units="us")
    page = press(people, repair, "max")
    assert page.context["form"]["c-max"].value() == "50 mg/m2"
    save(people, page, repair, c_basis="nacl", s_basis="as stated")
    assert step_in(repair).criteria["max"] == "50 mg/m2"


def test_the_marked_up_copy_tells_where_something_is_offered(people: People) -> None:
    repair = planned_repair(people, [salts()])
    copy = f"/repairs/{repair.pk}/plan/edit/"
    assert "9 further limits offered" in text_of(signed_in(people.carl).get(copy))
    save(people, press(people, repair, EVERY_OFFER), repair)
    assert "limits offered" not in text_of(signed_in(people.carl).get(copy))


@pytest.mark.parametrize("who", ["ines", "clara"])
def test_the_other_parties_take_nothing_over(people: People, who: str) -> None:
    repair = planned_repair(people, [salts()])
    page = signed_in(getattr(people, who)).post(address(repair), {"take": EVERY_OFFER})
    assert page.status_code == 409
    assert "cannot revise plan; the contractor can." in text_of(page)


@pytest.fixture
def laminate_judged(people: People) -> Repair:
    """A laminate judged by a limit that was taken over, signed by all three."""
    repair = planned_repair(people, [step_of("laminate")])
    assert save(people, press(people, repair, "edge_radius_min"), repair).status_code == 302
    steps = steps_marked_up(repair)
    revise_plan(repair_id=repair.pk, steps=steps, **act_on(people, Party.CONTRACTOR))
    agree_plan(repair_id=repair.pk, **act_on(people, Party.CLIENT))
    record(people, repair, 1, [{"edge_radius": "8 mm"}])
    for party in Party:
        put_signature(people, repair, party)
    repair.refresh_from_db()
    return repair


def test_verdict_record_and_certificate_print_the_source(
    people: People, laminate_judged: Repair
) -> None:
    source = "to be confirmed against the licensed text"
    verdict = Inspection.objects.get(repair=laminate_judged).verdict
    found = {f["limit"]: f["source"] for f in verdict["findings"]}
    assert found["at least 5 mm"] == source
    page = text_of(signed_in(people.clara).get(f"/repairs/{laminate_judged.pk}/record/"))
    assert f"Source: {source}" in page
    certificate = render_html(build(laminate_judged, "QR-1", NOON))
    assert source in certificate
