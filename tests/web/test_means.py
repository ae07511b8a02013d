"""With what a reading was taken: instruments and batches to tick, and how good they are."""

from datetime import date

from qc.web.forms.observation import ObservationForm
from tests.factories import (
    AMBIENT,
    FILLER,
    THICKNESS,
    batch,
    instrument,
    record,
    repair_on_site,
)
from tests.people import People
from tests.web.entering import errors, posted, work_for
from tests.web.visitor import signed_in, text_of


def test_instruments_of_the_kinds_asked_come_first_with_their_due_day(people: People) -> None:
    instrument(people, "depth_gauge", date(2026, 12, 31), "DG-1")
    instrument(people, "depth_gauge", date(2026, 5, 11), "DG-2")
    instrument(people, "durometer", identifier="SD-1")
    repair = repair_on_site(people)
    page = signed_in(people.ines).get(f"/repairs/{repair.pk}/steps/{AMBIENT}/")
    form = page.context["form"]
    assert [label for _, label in form.fields["instruments"].choices] == []
    assert "The register holds no hygrometer" in text_of(page)
    record(people, repair, AMBIENT)
    record(people, repair, FILLER)
    form = signed_in(people.ines).get(f"/repairs/{repair.pk}/steps/{THICKNESS}/").context["form"]
    labels = [label for _, label in form.fields["instruments"].choices]
    assert labels[0].startswith("DG-1 (depth gauge), ")
    assert "OUT OF CALIBRATION, was due 11 May 2026: release will be blocked" in labels[1]
    others = [label for _, label in form.fields["other_instruments"].choices]
    assert any(label.startswith("SD-1") for label in others)


def test_the_instrument_used_last_is_ticked(people: People) -> None:
    repair = repair_on_site(people)
    gauge = instrument(people, "hygrometer")
    instrument(people, "hygrometer")
    record(people, repair, AMBIENT, instruments=[gauge.pk])
    form = signed_in(people.ines).get(f"/repairs/{repair.pk}/steps/{AMBIENT}/").context["form"]
    assert form["instruments"].value() == [gauge.pk]


def test_instrument_and_batch_are_asked_for_beside_their_field(people: People) -> None:
    gauge, used = instrument(people, "hygrometer"), batch(people, date(2020, 1, 1))
    repair = repair_on_site(people)
    form = posted(
        ObservationForm.for_entry(work_for(repair, AMBIENT, instruments=[gauge])), r1_air="21"
    )
    assert errors(form)["instruments"] == ["Tick the hygrometer used."]
    form = ObservationForm.for_entry(work_for(repair, FILLER, batches=[used]))
    assert "EXPIRED on 1 Jan 2020" in form.fields["batches"].widget.choices[0][1]
    assert errors(posted(form, r1_mix_start="2026-05-12T11:00"))["batches"] == [
        "Tick the batch used."
    ]


def test_an_instrument_of_another_project_cannot_be_named(people: People) -> None:
    repair = repair_on_site(people)
    gauge = instrument(people, "hygrometer")
    work = work_for(repair, AMBIENT, instruments=[gauge])
    form = posted(ObservationForm.for_entry(work), r1_air="21", instruments=[gauge.pk + 1])
    assert errors(form)["instruments"] == [
        f"{gauge.pk + 1} is not in the register of this project."
    ]
