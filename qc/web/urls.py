"""The addresses of the pages."""

from django.urls import path

from qc.web.views import (
    about,
    certificate,
    check,
    component,
    evidence,
    home,
    instruments,
    materials,
    next_inspection,
    people,
    plan,
    plan_markup,
    planning,
    points,
    record,
    register,
    repair,
    reports,
    sign,
    start,
    step,
    templates,
)

_REGISTER = "projects/<int:project_id>/"
_INSTRUMENT = f"{_REGISTER}instruments/<int:instrument_id>/"
_STEP = "repairs/<int:repair_id>/steps/<int:position>/"
_EDITED = "repairs/<int:repair_id>/plan/edit/steps/<slug:key>/"

urlpatterns = [
    path("", home.home, name="home"),
    path("inbox/", home.inbox, name="inbox"),
    path("login/", home.LogIn.as_view(), name="login"),
    path("logout/", home.LogOut.as_view(), name="logout"),
    path("about/characteristics/", about.characteristics, name="characteristics"),
    path("about/characteristics/<slug:key>/", about.characteristic, name="characteristic"),
    path("repairs/", register.repairs, name="repairs"),
    path("repairs/register.csv", register.repairs_csv, name="repairs_csv"),
    path("components/<int:asset_id>/", component.component, name="component"),
    path("repairs/new/", start.start, name="start_repair"),
    path("repairs/<int:repair_id>/", repair.repair, name="repair"),
    path("repairs/<int:repair_id>/plan/", plan.plan, name="plan"),
    path("repairs/<int:repair_id>/plan/agree/", plan.agree, name="agree_plan"),
    path("repairs/<int:repair_id>/plan/comment/", plan.comment, name="comment_plan"),
    path("repairs/<int:repair_id>/plan/save/", templates.save, name="save_template"),
    path("projects/<int:project_id>/templates/", templates.library, name="templates"),
    path(
        "projects/<int:project_id>/templates/<slug:key>/", templates.template, name="plan_template"
    ),
    path("repairs/<int:repair_id>/plan/revisions/", plan.history, name="plan_history"),
    path(
        "repairs/<int:repair_id>/plan/revisions/<int:revision>/",
        plan.revision,
        name="plan_revision",
    ),
    path("repairs/<int:repair_id>/plan/edit/", plan_markup.edit, name="edit_plan"),
    path("repairs/<int:repair_id>/plan/edit/terms/", plan_markup.edit_terms, name="edit_terms"),
    path("repairs/<int:repair_id>/plan/edit/add/", plan_markup.add_step, name="add_step"),
    path("repairs/<int:repair_id>/plan/edit/forward/", plan_markup.put_forward, name="put_forward"),
    path("repairs/<int:repair_id>/plan/edit/discard/", plan_markup.discard, name="discard_markup"),
    path(_EDITED, plan_markup.edit_step, name="edit_step"),
    path(f"{_EDITED}limits/", plan_markup.edit_limits, name="edit_limits"),
    path(_STEP, step.step, name="step"),
    path(
        f"{_STEP}inspections/<int:inspection_id>/correct/", step.correct, name="correct_inspection"
    ),
    path(f"{_STEP}point/", points.close, name="close_point"),
    path(f"{_STEP}points/<slug:party>/notice/", points.notify, name="give_notice"),
    path(f"{_STEP}points/<slug:party>/lapse/", points.lapse, name="lapse_point"),
    path(f"{_STEP}notices/<int:notice_id>/accept/", points.accept, name="accept_notice"),
    path(f"{_STEP}where/", planning.where_to_measure, name="where_to_measure"),
    path("repairs/<int:repair_id>/take-off/", planning.take_off, name="take_off"),
    path("repairs/<int:repair_id>/evidence/", evidence.evidence, name="evidence"),
    path(
        "repairs/<int:repair_id>/evidence/<int:evidence_id>/", evidence.file, name="evidence_file"
    ),
    path(
        "repairs/<int:repair_id>/next-inspection/",
        next_inspection.next_inspection,
        name="next_inspection",
    ),
    path("repairs/<int:repair_id>/reports/", reports.reports, name="reports"),
    path("repairs/<int:repair_id>/reports/<int:number>/", reports.report, name="report"),
    path("repairs/<int:repair_id>/reports/<int:number>/<slug:way>/", reports.deal, name="deal"),
    path("repairs/<int:repair_id>/record/", record.record, name="record"),
    path("repairs/<int:repair_id>/sign/", sign.sign, name="sign"),
    path("repairs/<int:repair_id>/return/", sign.send_back, name="return_repair"),
    path("repairs/<int:repair_id>/certificate/", certificate.certificate, name="certificate"),
    path("repairs/<int:repair_id>/certificate/make/", certificate.make, name="make_certificate"),
    path(f"{_REGISTER}instruments/", instruments.instruments, name="instruments"),
    path(f"{_INSTRUMENT}", instruments.instrument, name="instrument"),
    path(f"{_INSTRUMENT}calibrations/", instruments.calibrations, name="calibrations"),
    path(f"{_INSTRUMENT}check/", instruments.check, name="check_instrument"),
    path(
        f"{_REGISTER}calibrations/<int:calibration_id>/withdraw/",
        instruments.withdraw,
        name="withdraw_calibration",
    ),
    path(f"{_REGISTER}batches/", materials.batches, name="batches"),
    path(f"{_REGISTER}batches/<int:batch_id>/", materials.batch, name="batch"),
    path(f"{_REGISTER}data-sheets/", materials.data_sheets, name="data_sheets"),
    path(f"{_REGISTER}data-sheets/new/", materials.enter_data_sheet, name="enter_data_sheet"),
    path(f"{_REGISTER}data-sheets/<int:sheet_id>/", materials.data_sheet, name="data_sheet"),
    path(f"{_REGISTER}people/", people.people, name="people"),
    path(f"{_REGISTER}files/<int:file_id>/", materials.file, name="register_file"),
    path("check/<str:code>/", check.check, name="check_certificate"),
]
