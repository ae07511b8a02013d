"""The contractor marks a plan up, puts it forward, and the client agrees what has changed."""

from dataclasses import replace
from typing import Any

import pytest

from qc.engine.plan import Party
from qc.records.models import Plan, PlanComment, PlanMarkup, PlanTemplate, Repair
from qc.records.queries import draft_of, plan_in_force
from qc.workflow import agree_plan, revise_plan
from qc.workflow.plan_markup import steps_marked_up
from tests.factories import (
    AMBIENT,
    SHORT_PLAN,
    THICKNESS,
    act_on,
    planned_repair,
    record,
    repair_on_site,
)
from tests.people import People
from tests.web.visitor import enter, sent, signed_in, text_of


def edit(repair: Repair, rest: str = "") -> str:
    return f"/repairs/{repair.pk}/plan/edit/{rest}"


def press(people: People, repair: Repair, what: str, edition: int | None = None) -> Any:
    client = signed_in(people.carl)
    shown = client.get(edit(repair)).context["edition"]
    data = {"do": what, "edition": shown if edition is None else edition}
    return client.post(edit(repair), data, follow=True)


def keys(repair: Repair) -> list[str]:
    return [step.key for step in steps_marked_up(repair)]


def change_step(people: People, repair: Repair, key: str = "thickness", **typed: Any) -> Any:
    return enter(signed_in(people.carl), edit(repair, f"steps/{key}/"), **typed)


def forward(people: People, repair: Repair, **typed: Any) -> Any:
    client = signed_in(people.carl)
    form = client.get(edit(repair)).context["form"]
    return client.post(edit(repair, "forward/"), sent(form, **typed), follow=True)


@pytest.mark.parametrize(
    ("what", "order"),
    [
        ("up:mixing", ["mixing", "ambient", "thickness", "hardness"]),
        ("down:mixing", ["ambient", "thickness", "mixing", "hardness"]),
        ("up:ambient", ["ambient", "mixing", "thickness", "hardness"]),
        ("down:hardness", ["ambient", "mixing", "thickness", "hardness"]),
        ("copy:mixing", ["ambient", "mixing", "mixing-2", "thickness", "hardness"]),
        ("remove:mixing", ["ambient", "thickness", "hardness"]),
    ],
)
def test_buttons_put_the_steps_in_order_and_no_revision_is_made(
    people: People, what: str, order: list[str]
) -> None:
    repair = planned_repair(people)
    press(people, repair, what)
    assert keys(repair) == order
    assert Plan.objects.filter(repair=repair).count() == 2


@pytest.mark.parametrize(
    ("what", "status"), [("up:tape", 404), ("sideways:mixing", 200), ("", 200), ("up:", 200)]
)
def test_a_button_that_there_is_not_changes_nothing(people: People, what: str, status: int) -> None:
    repair = planned_repair(people)
    assert press(people, repair, what).status_code == status
    assert not PlanMarkup.objects.exists()


def test_two_people_do_not_overwrite_each_other(people: People) -> None:
    repair = planned_repair(people)
    press(people, repair, "up:mixing")
    page = press(people, repair, "remove:mixing", edition=0)
    assert page.status_code == 409
    assert "changed since, by Carl Vale: look at it again" in text_of(page)
    assert "mixing" in keys(repair)


def test_a_step_is_changed_in_every_section(people: People) -> None:
    repair = planned_repair(people)
    page = change_step(
        people, repair, title="Depth", sampling="ten stations", p_client="witness", rows="10",
        needs_batch="on", e_1_label="Sketch of the stations", e_1_kind="document",
        prerequisites=["mixing"], w_0_after="mixing", w_0_least="30 min", w_0_most="4,5",
        w_0_source="data sheet", q_applicator="filler\nwrap", cautions="Hot.\n\nSharp.",
    )  # fmt: skip
    assert page.redirect_chain, page.context["form"].errors
    step = steps_marked_up(repair)[THICKNESS - 1]
    assert (step.title, step.sampling, step.rows, step.needs_batch) == (
        "Depth", "ten stations", 10, True,
    )  # fmt: skip
    assert step.points == {"client": "witness"}
    assert [item["key"] for item in step.evidence] == ["gauge", "sketch-of-the-stations"]
    assert step.prerequisites == ("mixing",)
    assert step.windows == (
        {"after": "mixing", "least": "30 min", "most": "4.5 hour", "source": "data sheet"},
    )
    assert step.qualifications == {"applicator": ["filler", "wrap"]}
    assert step.cautions == ("Hot.", "Sharp.")
    assert step.criteria == SHORT_PLAN[THICKNESS - 1].criteria


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"title": " "}, "title", "Give the step a title"),
        ({"title": "x" * 121}, "title", "121 characters are more than 120"),
        ({"sampling": ""}, "sampling", "Say where and how often"),
        ({"rows": "0"}, "rows", "At least 1"),
        ({"rows": "many"}, "rows", "whole number"),
        ({"p_client": "veto"}, "p-client", "veto is no intervention"),
        ({"instrument_kinds": ["crystal_ball"]}, "instrument_kinds", "no kind of instrument"),
        ({"prerequisites": ["hardness"]}, "prerequisites", "no step hardness"),
        ({"w_0_after": "mixing", "w_0_source": "x"}, "w-0-least", "least time, its most, or both"),
        ({"w_0_after": "mixing", "w_0_most": "4"}, "w-0-source", "Is required"),
        ({"w_0_most": "4", "w_0_source": "x"}, "w-0-after", "Is required"),
        ({"w_0_after": "mixing", "w_0_most": "4 mm", "w_0_source": "x"}, "w-0-most", "not a unit"),
        ({"w_0_after": "mixing", "w_0_most": "soon", "w_0_source": "x"}, "w-0-most", "soon"),
        ({"w_0_after": "mixing", "w_0_most": "-4", "w_0_source": "x"}, "w-0-most", "below 0"),
        (
            {"w_0_after": "mixing", "w_0_least": "5", "w_0_most": "4", "w_0_source": "x"},
            "w-0-least",
            "5 h is above the latest, 4 h",
        ),
        ({"w_0_after": "tape", "w_0_most": "4", "w_0_source": "x"}, "w-0-after", "no step tape"),
    ],
)
def test_bad_input_stands_at_its_field_and_is_not_kept(
    people: People, typed: dict[str, Any], field: str, words: str
) -> None:
    repair = planned_repair(people)
    page = change_step(people, repair, **typed)
    assert page.status_code == 200
    said = " ".join(page.context["form"].errors[field]).replace("\N{NO-BREAK SPACE}", " ")
    assert words in said
    assert not PlanMarkup.objects.exists()


def test_a_field_is_judged_when_it_is_left(people: People) -> None:
    repair, client = planned_repair(people), signed_in(people.carl)
    there = edit(repair, "steps/thickness/limits/")
    data = sent(client.get(there).context["form"], c_min="five")
    headers = {"HX-Request": "true", "HX-Trigger-Name": "c-min"}
    page = client.post(there, data, headers=headers)
    assert "five is not a number" in text_of(page)
    assert b"<html" not in page.content
    assert client.post(there, data, headers=headers | {"HX-Trigger-Name": "x"}).status_code == 404
    assert not PlanMarkup.objects.exists()


def test_a_step_of_the_library_brings_its_limits_and_sources(people: People) -> None:
    repair = planned_repair(people)
    which = "protective_coating:salts"
    enter(signed_in(people.carl), edit(repair, "add/"), which=which, after="ambient")
    assert keys(repair)[:3] == ["ambient", "salts", "mixing"]
    added = steps_marked_up(repair)[1]
    assert added.criteria and set(added.sources) >= set(added.criteria)
    assert added.prerequisites == ()


def test_a_blank_step_is_filled_in_before_it_is_put_forward(people: People) -> None:
    repair = planned_repair(people)
    enter(signed_in(people.carl), edit(repair, "add/"), which=":salts", after="")
    page = forward(people, repair)
    assert page.status_code == 409
    assert "Step 1, Soluble salts: activity: is required" in text_of(page)
    assert plan_in_force(repair).revision == 2


@pytest.mark.parametrize("typed", [{"which": ""}, {"which": "tape:x"}, {"after": "tape"}])
def test_a_step_that_there_is_not_is_not_added(people: People, typed: dict[str, str]) -> None:
    repair = planned_repair(people)
    page = enter(signed_in(people.carl), edit(repair, "add/"), **{"which": ":salts", **typed})
    assert page.context["form"].errors
    assert not PlanMarkup.objects.exists()


def test_a_copy_put_forward_becomes_a_revision_and_is_gone(people: People) -> None:
    repair = planned_repair(people)
    change_step(people, repair, sampling="ten stations")
    page = forward(people, repair)
    assert "waits for the client to agree it" in text_of(page)
    assert plan_in_force(repair).revision == 3
    assert not PlanMarkup.objects.exists()


def test_a_copy_of_an_agreed_plan_needs_its_reason_and_says_from_where(people: People) -> None:
    repair = repair_on_site(people)
    change_step(people, repair, sampling="ten stations")
    page = forward(people, repair, reason=" ")
    assert "Say why the plan is revised" in text_of(page)
    form = signed_in(people.carl).get(edit(repair)).context["form"]
    assert form["applies_from"].value() == THICKNESS
    page = forward(people, repair, reason="asked by the owner", applies_from="4")
    assert page.status_code == 409
    assert "applies from step 4, and changes step 3" in text_of(page)
    forward(people, repair, reason="asked by the owner")
    draft = draft_of(repair)
    assert draft is not None and draft.applies_from == THICKNESS


def test_the_client_reads_the_differences_and_agrees(people: People) -> None:
    repair = repair_on_site(people)
    change_step(people, repair, sampling="ten stations")
    forward(people, repair, reason="asked by the owner")
    clara = signed_in(people.clara)
    assert "Revision 3 waits for you" in text_of(clara.get(f"/repairs/{repair.pk}/plan/"))
    there = f"/repairs/{repair.pk}/plan/revisions/3/"
    page = clara.get(there)
    assert "3 Filler thickness: Sampling" in text_of(page)
    assert "eight stations became ten stations" in text_of(page)
    clara.post(f"/repairs/{repair.pk}/plan/agree/", sent(page.context["form"]))
    assert plan_in_force(repair).revision == 3
    assert "In force" in text_of(clara.get(f"/repairs/{repair.pk}/plan/revisions/"))


def test_a_copy_thrown_away_leaves_the_plan_as_it_was(people: People) -> None:
    repair, client = planned_repair(people), signed_in(people.carl)
    press(people, repair, "remove:mixing")
    client.post(edit(repair, "discard/"), {"edition": 9})
    assert PlanMarkup.objects.exists()
    client.post(edit(repair, "discard/"), {"edition": 1})
    assert keys(repair) == [step.key for step in SHORT_PLAN]


@pytest.mark.parametrize("who", ["ines", "clara"])
def test_the_copy_is_the_contractors_alone(people: People, who: str) -> None:
    repair = planned_repair(people)
    press(people, repair, "remove:mixing")
    client = signed_in(getattr(people, who))
    for there in ("", "add/", "steps/ambient/", "steps/ambient/limits/"):
        for page in (client.get(edit(repair, there)), client.post(edit(repair, there), {})):
            assert page.status_code == 409, there
            assert "the contractor can" in text_of(page)
    for there in ("forward/", "discard/"):
        assert client.post(edit(repair, there), {"edition": 1}).status_code == 409
    assert PlanMarkup.objects.get().edition == 1


def test_a_comment_stands_beside_its_step_until_a_revision_answers_it(people: People) -> None:
    repair = planned_repair(people)
    there = f"/repairs/{repair.pk}/plan/comment/?step=thickness"
    page = enter(signed_in(people.clara), there, text="Why five?")
    assert "Clara Kestle (client)" in text_of(page)
    plan = f"/repairs/{repair.pk}/plan/"
    assert "Why five?" in text_of(signed_in(people.carl).get(plan))
    steps = (*SHORT_PLAN[:2], replace(SHORT_PLAN[2], sampling="ten"), SHORT_PLAN[3])
    revise_plan(repair_id=repair.pk, steps=steps, **act_on(people, Party.CONTRACTOR))
    assert "Why five?" not in text_of(signed_in(people.carl).get(plan))
    assert "Why five?" in text_of(signed_in(people.carl).get(f"{plan}revisions/"))


def test_an_empty_comment_is_not_written(people: People) -> None:
    repair = planned_repair(people)
    page = enter(signed_in(people.ines), f"/repairs/{repair.pk}/plan/comment/", text=" ")
    assert "Write the comment." in text_of(page)
    assert not PlanComment.objects.exists()


def test_a_plan_is_saved_as_a_template_and_planned_from(people: People) -> None:
    repair, client = planned_repair(people), signed_in(people.carl)
    save = f"/repairs/{repair.pk}/plan/save/"
    assert "revision 1" in text_of(enter(client, save, title="Short plan", key=""))
    kept = PlanTemplate.objects.get()
    press(people, repair, "remove:mixing")
    page = enter(client, save, source="copy", key=kept.key, title="Short plan", reason=" ")
    assert "Say why the template gets a further revision" in text_of(page)
    again = {"source": "copy", "key": kept.key, "title": "Short plan", "reason": "no mixing"}
    page = enter(client, save, **again)
    words = text_of(page)
    assert "Revision 2" in words and "no mixing" in words
    assert "taken out of the plan" in words
    assert "Short plan" in text_of(client.get(f"/projects/{repair.project_id}/templates/"))


def test_a_revised_step_says_so_and_keeps_what_was_recorded_in_sight(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT)
    other = replace(SHORT_PLAN[0], sampling="every hour")
    act = act_on(people, Party.CONTRACTOR)
    revise_plan(repair_id=repair.pk, steps=(other, *SHORT_PLAN[1:]), reason="x", **act)
    agree_plan(repair_id=repair.pk, **act_on(people, Party.CLIENT))
    words = text_of(signed_in(people.ines).get(f"/repairs/{repair.pk}/steps/1/"))
    assert "Revision 3 of the plan changed this step" in words
    assert "under revision 2 of the plan: no longer counts" in words


def test_a_step_taken_out_stays_on_the_page_of_the_record(people: People) -> None:
    repair = repair_on_site(people)
    record(people, repair, AMBIENT)
    act = act_on(people, Party.CONTRACTOR)
    revise_plan(repair_id=repair.pk, steps=SHORT_PLAN[1:], reason="x", **act)
    agree_plan(repair_id=repair.pk, **act_on(people, Party.CLIENT))
    words = text_of(signed_in(people.ines).get(f"/repairs/{repair.pk}/record/"))
    assert "Ambient conditions taken out of the plan by revision 3" in words


def test_a_conforming_step_is_inspected_again_from_the_start_saying_why(people: People) -> None:
    repair, ines = repair_on_site(people), signed_in(people.ines)
    record(people, repair, AMBIENT)
    there = f"/repairs/{repair.pk}/steps/1/"
    assert "Inspect again from the start" in text_of(ines.get(there))
    form = ines.get(f"{there}?again=1").context["form"]
    assert "rework" in form.fields
    page = ines.post(f"{there}?again=1", sent(form))
    assert "Say what was done since" in text_of(page)
