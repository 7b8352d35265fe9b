"""The job file: every wish can be made, and every mistake is one sentence."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from moldgen.apps.job_file import job_from, read_job
from moldgen.apps.job_keys import RANGES, TABLES
from moldgen.errors import JobError
from moldgen.job.job import Arrangement, Job, MoldKind, RubberWishes
from moldgen.materials.pot_life import PotLife


def write(folder: Path, text: str) -> Path:
    (folder / "job.toml").write_text(text, encoding="utf-8")
    return folder / "job.toml"


def test_an_empty_file_is_the_default_job(tmp_path: Path) -> None:
    assert read_job(write(tmp_path, "")) == Job()


def test_no_file_is_the_default_job() -> None:
    assert read_job(None) == Job()


def test_wishes_are_taken_over(tmp_path: Path) -> None:
    text = 'kind = "block"\narrangement = "hung"\nlevel_error_deg = 2\n[rubber]\nwall_mm = 12'
    assert read_job(write(tmp_path, text)) == Job(
        MoldKind.BLOCK, Arrangement.HUNG, 2.0, rubber=RubberWishes(wall_mm=12.0)
    )


def test_options_win_over_the_file(tmp_path: Path) -> None:
    path = write(tmp_path, "[rubber]\nwall_mm = 12\nbelow_mm = 9")
    job = read_job(path, {"rubber.wall_mm": 14.0, "channels.limit_mm3": None})
    assert (job.rubber.wall_mm, job.rubber.below_mm) == (14.0, 9.0)
    assert job.channels == Job().channels


def numeric_keys() -> set[str]:
    """Every number of the job by its dotted key."""
    inner = {
        f"{name}.{f.name}"
        for name, wishes in TABLES.items()
        for f in dataclasses.fields(wishes)
        if str(f.type).startswith("float")
    }
    return inner | {"level_error_deg", "shop_c", "scale_g"}


def test_every_number_has_a_range() -> None:
    assert set(RANGES) == numeric_keys()


def nested(key: str, value: object) -> dict[str, object]:
    table, _, last = key.rpartition(".")
    return {table: {last: value}} if table else {last: value}


@pytest.mark.parametrize("key", sorted(RANGES))
def test_the_default_is_allowed_and_both_sides_beyond_are_not(key: str) -> None:
    low, high = RANGES[key]
    for value in (low - 0.01, high + 0.01, float("nan")):
        with pytest.raises(JobError, match=rf"{key} is .*, allowed is a number from {low:g} to"):
            job_from(nested(key, value), "x")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("[rubber]\nwal_mm = 5", "rubber.wal_mm is not a known key: did you mean rubber.wall_mm?"),
        ("[ruber]\nwall_mm = 5", "ruber is not a known key: did you mean rubber?"),
        ("zzz = 5", "zzz is not a known key: known are kind, arrangement"),
        ("wall_mm = 5", "wall_mm is not a known key: did you mean rubber.wall_mm?"),
        ("[rubber]\nwall_mm = '5'", "rubber.wall_mm is '5', allowed is a number from 3 to 100 mm"),
        ("[rubber]\nwall_mm = true", "rubber.wall_mm is True, allowed is a number"),
        ("rubber = 3", "rubber is 3, allowed is a table, [rubber]"),
        ('kind = "blok"', 'kind is \'blok\', allowed is "block" or "two-part"'),
        ('arrangement = "lying"', 'allowed is "standing" or "hung"'),
        ("[resin]\nmaterial = 5", "resin.material is 5, allowed is a name in quotes"),
        (
            "[channels]\nneck_diameter_mm = 9\nsprue_diameter_mm = 8",
            "wider than channels.sprue_diameter_mm, 8 mm",
        ),
        (
            "[channels]\nvent_neck_diameter_mm = 4\nvent_diameter_mm = 3",
            "wider than channels.vent_diameter_mm, 3 mm",
        ),
        ("shop_c = 60", "shop_c is 60, allowed is a number from 5 to 40 °C"),
        ("scale_g = 0", "scale_g is 0, allowed is a number from 0.001 to 100 g"),
        ("[ranking]\norder = ['height']", "ranking.order is 'height', allowed is \"scars\" or"),
        ("[ranking]\norder = []", "ranking.order needs one criterion or more, each of them once"),
        ("[ranking]\norder = ['air', 'air']", "each of them once"),
        ("[ranking]\neasy_times = 0", "ranking.easy_times is 0, allowed is a number from 1 to 20"),
        ("compensate_shrink = 1", "compensate_shrink is 1, allowed is true or false"),
        ("[resin]\npot_life = 'long'", 'allowed is "doubles" or "gels" or "unpourable"'),
        ("[resin]\npot_life_min = 5", "resin.pot_life_min is 5 min and its meaning is not: say"),
        ("[rubber]\npot_life_min = 5", "rubber.pot_life_min is 5 min and its meaning is not"),
        ("[rubber]\nmaterial = 'latx'", "no rubber is called 'latx': did you mean latex?"),
        ("materials = 'none.toml'", "none.toml cannot be read: No such file"),
        ("materials = 5", "materials is 5, allowed is a name in quotes"),
        ("[resin]\nmix_s = 0.5", "resin.mix_s is 0.5, allowed is a number from 1 to 1800 s"),
        ("[resin]\nstart_s = 30", "resin.start_s is 30 s, sooner than resin.mix_s, 60 s"),
        ("[rubber\n", "is not valid TOML"),
    ],
)
def test_a_mistake_is_one_sentence(tmp_path: Path, text: str, sentence: str) -> None:
    with pytest.raises(JobError) as caught:
        read_job(write(tmp_path, text))
    assert sentence in str(caught.value)
    assert str(caught.value).startswith(("job.toml", "none.toml"))
    assert "\n" not in str(caught.value)


def test_a_missing_file_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(JobError, match=r"job\.toml cannot be read: No such file"):
        read_job(tmp_path / "job.toml")


def test_a_file_in_another_encoding_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_bytes(b"# caf\xe9\n")
    with pytest.raises(JobError, match=r"job\.toml is not UTF-8 text"):
        read_job(tmp_path / "job.toml")


def test_an_option_into_a_broken_table_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(JobError, match="rubber must be a table"):
        read_job(write(tmp_path, "rubber = 3"), {"rubber.wall_mm": 5.0})


def test_a_pot_life_with_its_meaning_is_taken_over(tmp_path: Path) -> None:
    job = read_job(write(tmp_path, '[resin]\npot_life = "doubles"\npot_life_min = 5'))
    resin = job.casting_resin
    assert (resin.pot_life, resin.working_time_s) == (PotLife.DOUBLES, 300.0)
    assert resin.pot_life_told
    assert not job.mold_rubber.pot_life_told


def test_materials_lie_beside_the_job_file(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text("[resin.epoxy]\ndensity_g_cm3 = 1.16\n")
    job = read_job(write(tmp_path, 'materials = "own.toml"\n[resin]\nmaterial = "epoxy"'))
    assert job.casting_resin.density_g_cm3 == 1.16
    assert job.materials.source == "own.toml"


def test_materials_of_an_option_win(tmp_path: Path) -> None:
    other = tmp_path / "other.toml"
    other.write_text("[resin.epoxy]\ndensity_g_cm3 = 1.17\n")
    path = write(tmp_path, 'materials = "own.toml"\n[resin]\nmaterial = "epoxy"')
    assert read_job(path, {"materials": str(other)}).casting_resin.density_g_cm3 == 1.17
