"""The addresses of the pages."""

from django.urls import path

from qc.web.views import (
    about,
    certificate,
    evidence,
    home,
    plan,
    planning,
    points,
    record,
    registers,
    repair,
    sign,
    step,
)

_STEP = "repairs/<int:repair_id>/steps/<int:position>/"

urlpatterns = [
    path("", home.home, name="home"),
    path("login/", home.LogIn.as_view(), name="login"),
    path("logout/", home.LogOut.as_view(), name="logout"),
    path("about/characteristics/", about.characteristics, name="characteristics"),
    path("about/characteristics/<slug:key>/", about.characteristic, name="characteristic"),
    path("repairs/new/", plan.start, name="start_repair"),
    path("repairs/<int:repair_id>/", repair.repair, name="repair"),
    path("repairs/<int:repair_id>/plan/", plan.plan, name="plan"),
    path("repairs/<int:repair_id>/plan/agree/", plan.agree, name="agree_plan"),
    path("repairs/<int:repair_id>/plan/steps/<int:position>/", plan.revise, name="revise_step"),
    path(_STEP, step.step, name="step"),
    path(
        f"{_STEP}inspections/<int:inspection_id>/correct/", step.correct, name="correct_inspection"
    ),
    path(f"{_STEP}point/", points.close, name="close_point"),
    path(f"{_STEP}where/", planning.where_to_measure, name="where_to_measure"),
    path("repairs/<int:repair_id>/take-off/", planning.take_off, name="take_off"),
    path("repairs/<int:repair_id>/evidence/", evidence.evidence, name="evidence"),
    path(
        "repairs/<int:repair_id>/evidence/<int:evidence_id>/", evidence.file, name="evidence_file"
    ),
    path("repairs/<int:repair_id>/record/", record.record, name="record"),
    path("repairs/<int:repair_id>/sign/", sign.sign, name="sign"),
    path("repairs/<int:repair_id>/return/", sign.send_back, name="return_repair"),
    path("repairs/<int:repair_id>/certificate/", certificate.certificate, name="certificate"),
    path("repairs/<int:repair_id>/certificate/make/", certificate.make, name="make_certificate"),
    path("projects/<int:project_id>/instruments/", registers.instruments, name="instruments"),
    path(
        "projects/<int:project_id>/instruments/<int:instrument_id>/calibrations/",
        registers.calibrations,
        name="calibrations",
    ),
    path("projects/<int:project_id>/batches/", registers.batches, name="batches"),
]
