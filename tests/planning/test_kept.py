"""Plans on disk: read back as they were kept, refused when they are not."""

import json
from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from mixstation.planning.kept import (
    KeptPlan,
    KeptPlanError,
    find_kept,
    keep_plan,
    kept_ids,
    new_plan_id,
    read_kept,
    sheet_path,
)
from mixstation.planning.orders import to_keep
from mixstation.planning.talk import PlanTalk
from mixstation.units.show import DisplayUnits
from mixstation.wording.error_lines import error_line
from mixstation.wording.kept_lines import KeptPlanCode, kept_plan_line
from tests.depth import examples
from tests.planning.yard import around, say, shipped
from tests.wording.source_codes import made_in, modules


@pytest.fixture(scope="module")
def plans() -> dict[str, KeptPlan]:
    """One plan of each recipe that comes with the program, with a face coat and several buckets."""
    kept = {}
    for number, (key, loaded) in enumerate(shipped().items()):
        talk = PlanTalk(around(recipes={key: loaded}))
        say(talk, "1", "900", "600", "20", "3", "2", *[""] * 8)
        assert talk.planned is not None
        kept[key] = to_keep(
            talk.planned.plan,
            talk.planned.loaded,
            plan_id=f"p260504-00a{number}",
            made_ms=1_770_000_000_000,
            units=DisplayUnits.METRIC,
        )
    return kept


def test_every_plan_reads_back_as_it_was_kept(plans: dict[str, KeptPlan], tmp_path: Path) -> None:
    for plan in plans.values():
        keep_plan(tmp_path, plan, ("<p>one", "<p>two"))
        assert read_kept(tmp_path, plan.plan_id) == plan
        assert sheet_path(tmp_path, plan.plan_id, 2).read_text("utf-8") == "<p>two"
    assert kept_ids(tmp_path) == tuple(sorted((plan.plan_id for plan in plans.values()), reverse=True))


def test_found_by_a_part_of_its_id(plans: dict[str, KeptPlan], tmp_path: Path) -> None:
    for plan in plans.values():
        keep_plan(tmp_path, plan)
    assert find_kept(tmp_path, "00a1").plan_id == "p260504-00a1"
    for asked, code in [("00a", "plans-several"), ("zzz", "plan-missing"), ("", "plan-missing")]:
        with pytest.raises(KeptPlanError) as refused:
            find_kept(tmp_path, asked)
        assert refused.value.code == code
        assert str(error_line(refused.value)).endswith((".", "list"))


def test_nothing_is_read_outside_the_folder(tmp_path: Path) -> None:
    (tmp_path / "plans").mkdir()
    (tmp_path / "p260504-00a1.json").write_text("{}", "utf-8")
    for asked in ("../p260504-00a1", "/etc/passwd", "p260504-00a1.json"):
        with pytest.raises(KeptPlanError) as refused:
            read_kept(tmp_path / "plans", asked)
        assert refused.value.code == "plan-missing"


def test_a_folder_that_is_not_there_holds_no_plans(tmp_path: Path) -> None:
    assert kept_ids(tmp_path / "none") == ()


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"form": 3}, "plan-later"),
        ({"form": 0}, "plan-damaged"),
        ({"plan_id": "p260504-ffff"}, "plan-damaged"),
        ({"buckets": []}, "plan-damaged"),
        ({"bucket_l": "12"}, "plan-damaged"),
        ({"fill_limit": None}, "plan-damaged"),
    ],
)
def test_what_is_no_plan_of_ours_is_refused(
    plans: dict[str, KeptPlan], tmp_path: Path, change: dict[str, object], code: str
) -> None:
    plan = plans["hearth_plate"]
    keep_plan(tmp_path, plan)
    path = tmp_path / f"{plan.plan_id}.json"
    path.write_text(json.dumps(json.loads(path.read_text("utf-8")) | change), "utf-8")
    with pytest.raises(KeptPlanError) as refused:
        read_kept(tmp_path, plan.plan_id)
    assert refused.value.code == code


@pytest.mark.parametrize("text", ["1e999999999", "1/0", "1_0/3", "9" * 2_000, "0.33"])
def test_a_fraction_in_no_form_of_ours_is_refused_before_it_is_reckoned(
    plans: dict[str, KeptPlan], tmp_path: Path, text: str
) -> None:
    plan = plans["hearth_plate"]
    keep_plan(tmp_path, plan)
    path = tmp_path / f"{plan.plan_id}.json"
    body = json.loads(path.read_text("utf-8"))
    body["buckets"][0]["recipe"]["water"]["target"] = text
    path.write_text(json.dumps(body, sort_keys=True, ensure_ascii=False, indent=1), "utf-8")
    with pytest.raises(KeptPlanError) as refused:
        read_kept(tmp_path, plan.plan_id)
    assert refused.value.code == "plan-damaged"
    assert "no fraction as it is written" in str(refused.value.__cause__)


@settings(max_examples=examples(20), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_a_damaged_file_is_refused_and_nothing_else_happens(
    plans: dict[str, KeptPlan], tmp_path: Path, data: st.DataObject
) -> None:
    plan = plans["planter_wall"]
    keep_plan(tmp_path, plan)
    path = tmp_path / f"{plan.plan_id}.json"
    body = bytearray(path.read_bytes())
    at = data.draw(st.integers(0, len(body) - 1))
    if data.draw(st.booleans()):
        body = body[:at]
    else:
        body[at] ^= data.draw(st.integers(1, 255))
    path.write_bytes(body)
    code = ""
    try:
        assert isinstance(read_kept(tmp_path, plan.plan_id), KeptPlan)
    except KeptPlanError as refused:
        code = refused.code
    assert code in ("", "plan-damaged", "plan-later")


def test_ids_are_files_names_of_our_own() -> None:
    ids = {new_plan_id(1_770_000_000_000) for _ in range(20)}
    assert len(ids) > 15
    assert all(plan_id.startswith("p260") and len(plan_id) == 12 for plan_id in ids)


def test_every_code_has_a_sentence() -> None:
    codes = {made.code for made in made_in(modules("planning"), {"KeptPlanError": 0})}
    assert codes == set(get_args(KeptPlanCode))
    lines = {code: kept_plan_line(KeptPlanError(code, "p260101-00ab", "p1", "p2")) for code in codes}
    assert len(set(lines.values())) == len(codes)
    assert "“p260101-00ab” in their id: p1, p2." in lines["plans-several"]


def test_the_recipe_of_each_bucket_is_kept_whole(plans: dict[str, KeptPlan], tmp_path: Path) -> None:
    plan = plans["planter_wall"]
    changed = replace(plan, recipe_text="gone")
    keep_plan(tmp_path, changed)
    assert read_kept(tmp_path, plan.plan_id).buckets == plan.buckets
    assert len({bucket.recipe.key for bucket in plan.buckets}) == 1
