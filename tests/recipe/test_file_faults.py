"""Every fault a recipe file can have, on its line."""

import pytest

from tests.recipe.texts import SOUND, brief, changed, faults_of

MATERIAL = "[[material]]"
STEP = "[[step]]"


def test_the_sound_recipe_has_none() -> None:
    assert brief(SOUND) == []


# One change to the sound recipe, and the one fault it makes: code and the line it stands on.
SINGLE: list[tuple[str, str, str, str]] = [
    # Units and figures.
    ('density = "3150 kg/m3"', "density = 3150", "not-text", "density = 3150"),
    ('density = "3150 kg/m3"', 'density = "3150"', "unit-missing", 'density = "3150"'),
    ('density = "3150 kg/m3"', 'density = "3,150 kg/m3"', "ambiguous-thousands", 'density = "3,150 kg/m3"'),
    ('density = "3150 kg/m3"', 'density = "3150 kg/m2"', "unknown-unit", 'density = "3150 kg/m2"'),
    ('density = "3150 kg/m3"', 'density = "3.15 kg/m3"', "out-of-range", 'density = "3.15 kg/m3"'),
    ('pack = "25 kg"', 'pack = "25 l"', "wrong-dimension", 'pack = "25 l"'),
    ('pack = "25 kg"', 'pack = ""', "empty", 'pack = ""'),
    ('price = "18.50"', 'price = "18.505"', "out-of-range", 'price = "18.505"'),
    ('price = "18.50"', 'price = "-1"', "out-of-range", 'price = "-1"'),
    ('price = "18.50"', "price = 18.50", "not-text", "price = 18.50"),
    ("parts = 10", "parts = 0", "out-of-range", "parts = 0"),
    ("parts = 10", "parts = -2", "out-of-range", "parts = -2"),
    ("parts = 10", "parts = nan", "bad-number", "parts = nan"),
    ("parts = 10", "parts = inf", "bad-number", "parts = inf"),
    ("parts = 10", "parts = true", "not-number", "parts = true"),
    ("parts = 10", "parts = [1]", "not-number", "parts = [1]"),
    ("parts = 10", f"parts = {'9' * 900}", "too-many-digits", f"parts = {'9' * 900}"),
    ('dose = "3 %"', 'dose = "3"', "out-of-range", 'dose = "3"'),
    ('dose = "3 %"', 'dose = "0 %"', "out-of-range", 'dose = "0 %"'),
    ('dose = "3 %"', 'dose = "100 %"', "out-of-range", 'dose = "100 %"'),
    ('dose = "3 %"', 'dose = "-3 %"', "out-of-range", 'dose = "-3 %"'),
    ('solids = "48 %"', 'solids = "0 %"', "out-of-range", 'solids = "0 %"'),
    ('moisture = "2 %"', 'moisture = "40 %"', "out-of-range", 'moisture = "40 %"'),
    ('air = "5 %"', 'air = "5"', "out-of-range", 'air = "5"'),
    ('working_time = "30 min"', 'working_time = "30 s"', "out-of-range", 'working_time = "30 s"'),
    ('name = "Sill cap"', 'name = " "', "empty", 'name = " "'),
    ('name = "Sill cap"', f'name = "{"x" * 101}"', "too-long", f'name = "{"x" * 101}"'),
    ('least = "12 °C"', 'least = "12 K"', "unknown-unit", 'least = "12 K"'),
    ('mix = "60 s to 90 s"', 'mix = "60 s"', "range-missing", 'mix = "60 s"'),
    ('mix = "60 s to 90 s"', 'mix = "90 s to 60 s"', "range-order", 'mix = "90 s to 60 s"'),
    ('mix = "60 s to 90 s"', 'mix = "60 to 90"', "unit-missing", 'mix = "60 to 90"'),
    ('mix = "60 s to 90 s"', 'mix = "60 s to 90 h"', "out-of-range", 'mix = "60 s to 90 h"'),
    ('mix = "25 s"', 'mix = "20 s to 30 s"', "unknown-unit", 'mix = "20 s to 30 s"'),
    ('scrape = "sides and bottom"', 'rest = "5 min to 3 min"', "range-order", 'rest = "5 min to 3 min"'),
    ('mix = "60 s to 90 s"', 'mix = "60 x to 90 s"', "unknown-unit", 'mix = "60 x to 90 s"'),
    ('scrape = "sides and bottom"', 'rings = "2.5 to 4"', "not-whole", 'rings = "2.5 to 4"'),
    ('target = "33 %"', 'target = "8 kg per 5 kg"', "out-of-range", 'target = "8 kg per 5 kg"'),
    ('target = "33 %"', 'target = "8 l per 25 kg"', "wrong-dimension", 'target = "8 l per 25 kg"'),
    # Words.
    ('of = "binder"', 'of = "total"', "not-one-of", 'of = "total"'),
    ('of = "binder"', 'of = "bindre"', "not-one-of", 'of = "bindre"'),
    ('role = "sand"', 'role = "sandd"', "not-one-of", 'role = "sandd"'),
    ('speed = "slow"', 'speed = "gentle"', "not-one-of", 'speed = "gentle"'),
    ('scrape = "sides and bottom"', "scrape = false", "not-one-of", "scrape = false"),
    ("temperature = true", "temperature = false", "not-true", "temperature = false"),
    ('temperature = true\nleast = "12 °C"\nmost = "28 °C"', 'consistency = "eye"', "not-one-of", 'consistency = "eye"'),
    # Keys that are missing, unknown, or in the wrong place.
    ('density = "3150 kg/m3"', 'densty = "3150 kg/m3"', "unknown-key", 'densty = "3150 kg/m3"'),
    ('air = "5 %"\n', 'air = "5 %"\nyield = "1"\n', "unknown-key", 'yield = "1"'),
    ('target = "33 %"', 'target = "33 %"\nunit = "kg"', "unknown-key", 'unit = "kg"'),
    ('by = "5 %"', 'by = "5 %"\nshare = "5 %"', "unknown-key", 'share = "5 %"'),
    ('revision = "1"\n', "", "key-missing", ""),
    ('target = "33 %"\n', "", "key-missing", "[water]"),
    ("parts = 9\n", "", "key-missing", MATERIAL),
    ('key = "fibre"\n', "", "key-missing", MATERIAL),
    ('key = "fibre"', "key = 3", "not-text", "key = 3"),
    ('by = "5 %"\n', "", "key-missing", STEP),
    ("parts = 9", 'parts = 9\ndose = "3 %"', "key-not-for-role", 'dose = "3 %"'),
    ("parts = 10", 'parts = 10\nmoisture = "3 %"', "key-not-for-role", 'moisture = "3 %"'),
    ('of = "total"', 'of = "total"\nsolids = "3 %"', "key-not-for-role", 'solids = "3 %"'),
    ('role = "water"', 'role = "water"\nparts = 3', "key-not-for-role", "parts = 3"),
    ('cap = "8 %"\n', "", "needs-key", 'cap_source = "its label"'),
    ('cap_source = "its label"\n', "", "needs-key", 'cap = "8 %"'),
    ('pack = "25 kg"\n', "", "needs-key", 'price = "18.50"'),
    ('currency = "EUR"\n', "", "currency-missing", 'price = "18.50"'),
    ('solids = "48 %"', 'solids = "48 %"\nwater = "52 %"', "both-given", 'water = "52 %"'),
    ('moisture = "2 %"', 'moisture = "2 %"\nfree_moisture = "1 %"', "both-given", 'free_moisture = "1 %"'),
    # Contradictions.
    ('target = "33 %"', 'target = "36 %"', "band-order", 'most = "35 %"'),
    ('least = "31 %"', 'least = "34 %"', "band-order", 'target = "33 %"'),
    ('ceiling = "38 %"', 'ceiling = "34 %"', "band-order", 'ceiling = "34 %"'),
    ('dose = "3 %"', 'dose = "3 %"\nleast = "3.5 %"', "band-order", 'dose = "3 %"'),
    ('dose = "3 %"', 'dose = "3 %"\nmost = "2.9 %"', "band-order", 'most = "2.9 %"'),
    ('least = "12 °C"', 'least = "29 °C"', "band-order", 'most = "28 °C"'),
    ('cap = "8 %"', 'cap = "5 %"', "over-cap", 'dose = "5.5 %"'),
    ('counts = "solids"', 'counts = "solids"\nmost = "9 %"', "over-cap", 'most = "9 %"'),
    ('cap = "8 %"', 'cap = "2.8 %"\ncap_of = "powder"', "over-cap", 'dose = "5.5 %"'),
    ('solids = "48 %"\n', "", "solids-unknown", 'counts = "solids"'),
    ('of = "cement"', 'of = "total"', "of-total-not-fibre", 'of = "total"'),
    ('target = "33 %"', 'target = "8.25 kg per 25 kg"', "pack-figure-not-of-powder", 'target = "8.25 kg per 25 kg"'),
    ('key = "sand"', 'key = "cement"', "key-twice", 'key = "cement"'),
    ('add = "fibre"', 'add = "fibre"\nkey = "4"', "key-twice", 'key = "4"'),
    ('solids = "48 %"', 'solids = "10 %"', "water-all-carried", 'target = "33 %"'),
    # Steps.
    ('add = "fibre"', 'add = "fiber"', "unknown-material", 'add = "fiber"'),
    ('add = "fibre"', 'add = [\n"fibre",\n"fiber",\n]', "unknown-material", '"fiber",'),
    ('add = "fibre"', 'add = ["fibre", "fibre"]', "named-twice", 'add = ["fibre", "fibre"]'),
    ('add = "fibre"', "add = []", "empty", "add = []"),
    ('add = "fibre"', "add = 3", "not-text", "add = 3"),
    ('add = "fibre"', f"add = {list(map(str, range(27)))}", "too-many", f"add = {list(map(str, range(27)))}"),
    ('release = "water"', 'release = "watr"', "unknown-material", 'release = "watr"'),
    ('add = "fibre"', 'note = "fibre"', "never-added", 'key = "fibre"'),
    ('add = "fibre"', 'add = "fibre"\nshare = "90 %"', "share-short", 'share = "90 %"'),
    ('add = "emulsion"', 'add = "emulsion"\n[[step]]\nadd = ["emulsion"]', "nothing-left", 'add = ["emulsion"]'),
    ('share = "80 %"', 'share = "rest"', "nothing-held-back", 'release = "water"'),
    ('share = "80 %"', 'share = "97 %"', "release-over-held-back", 'by = "5 %"'),
    ('add = "fibre"', 'add = "fibre"\n[[step]]\nadd = ["water"]', "add-after-release", 'add = ["water"]'),
    ('add = "fibre"', 'add = "fibre"\nscrape = true', "step-twofold", "scrape = true"),
    ('add = "fibre"', 'add = "fibre"\n[[step]]\nsay = "Go on"', "step-kind-missing", STEP),
    ('fraction = "25 %"', 'fraction = "100 %"', "out-of-range", 'fraction = "100 %"'),
    ('fraction = "25 %"', 'fraction = "0 %"', "out-of-range", 'fraction = "0 %"'),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "code", "line_text"), SINGLE)
def test_one_fault(old: str, new: str, code: str, line_text: str) -> None:
    assert brief(changed((old, new))) == [(code, line_text)]


def test_faults_of_the_whole_shape() -> None:
    assert [fault.code for fault in faults_of("")] == ["key-missing"] * 7
    assert {fault.line for fault in faults_of("")} == {0}
    head = SOUND[: SOUND.index("[water]")]
    assert brief(head + "water = 1\nmaterial = 2\nstep = [3]\n") == [
        ("not-a-table", "water = 1"),
        ("not-tables", "material = 2"),
        ("not-tables", "step = [3]"),
    ]


@pytest.mark.parametrize(
    ("key", "code"),
    [
        ("glass fibre", "key-form"),
        ("Fibre", "key-form"),
        ("", "key-form"),
        ("x" * 41, "key-form"),
        ("rest", "key-reserved"),
    ],
)
def test_a_key_is_one_plain_word(key: str, code: str) -> None:
    text = changed(('key = "fibre"', f'key = "{key}"'), ('add = "fibre"', f'add = ["{key}"]'))
    assert brief(text) == [(code, f'key = "{key}"')]


def test_no_water_and_two_waters() -> None:
    water = '[[material]]\nkey = "water"\nname = "Water"\nrole = "water"\n\n'
    assert ("water-missing", MATERIAL) in brief(changed((water, "")))
    second = water.replace('key = "water"', 'key = "rain"').replace('"Water"', '"Rain"')
    assert brief(changed((water, water + second), ('add = "emulsion"', 'add = ["emulsion", "rain"]'))) == [
        ("water-twice", 'role = "water"')
    ]


def test_no_powder() -> None:
    text = changed(
        ('role = "cement"\nparts = 10', 'role = "ice"'),
        ('density = "3150 kg/m3"', 'density = "917 kg/m3"'),
        ('role = "sand"\nparts = 9\nmoisture = "2 %"\nabsorption = "0.6 %"', 'role = "ice"'),
    )
    assert ("powder-missing", MATERIAL) in brief(text)


def test_a_blend_that_does_not_state_its_cement_takes_no_dose_of_it() -> None:
    text = changed(('role = "cement"', 'role = "blend"'))
    assert brief(text) == [("basis-unknown", 'of = "binder"'), ("basis-unknown", 'of = "cement"')]
    assert [fault.told.missing for fault in faults_of(text)] == ["binder_share", "cement_share"]
    stated = changed(('role = "cement"', 'role = "blend"\ncement_share = "40 %"\nbinder_share = "42 %"'))
    assert brief(stated.replace('cap = "8 %"', 'cap = "9 %"')) == []
    assert brief(stated.replace('"42 %"', '"39 %"')) == [("cement-over-binder", 'binder_share = "39 %"')]


def test_nothing_that_counts_to_the_basis() -> None:
    text = changed(('role = "cement"', 'role = "filler"'))
    assert brief(text) == [("basis-empty", 'of = "binder"'), ("basis-empty", 'of = "cement"')]


def test_fibres_that_leave_no_mix() -> None:
    more = '[[material]]\nkey = "wool"\nname = "Wool"\nrole = "fibre"\ndose = "98 %"\nof = "total"\n'
    text = changed(
        ('add = "fibre"', 'add = ["fibre", "wool"]'),
        ('[[step]]\nadd = "water"', f'{more}[[step]]\nadd = "water"'),
    )
    assert brief(text) == [("fibres-fill-the-mix", MATERIAL)]  # fmt: skip


def test_share_over_the_whole_names_the_sum() -> None:
    text = changed(
        ('add = "emulsion"', 'add = "emulsion"\nshare = "60 %"\n[[step]]\nadd = ["emulsion"]\nshare = "41 %"')
    )
    (fault,) = faults_of(text)
    assert (fault.code, fault.line_text, fault.told.total) == (
        "share-over-whole",
        'share = "41 %"',
        "101 %",
    )


def test_release_of_what_is_not_water_and_twice() -> None:
    release = 'release = "water"\nby = "5 %"\nmix = "25 s"\n'
    other = changed((release, release + "[[step]]\n" + release.replace('"water"', '"sand"')))
    assert brief(other) == [("release-not-water", 'release = "sand"')]
    twice = changed((release, release + "[[step]]\n" + release.replace('"5 %"', '"4 %"')))
    (fault,) = faults_of(twice)
    first = twice.split("\n").index('release = "water"') + 1
    assert (fault.code, fault.line, fault.told.first_line) == ("release-twice", first + 4, first)


def test_what_cannot_stand_before_anything_is_in_the_bucket() -> None:
    first = '[[step]]\nadd = "water"\nshare = "80 %"\n'
    assert brief(changed((first, '[[step]]\nrest = "1 min to 2 min"\n' + first))) == [
        ("bucket-empty", 'rest = "1 min to 2 min"')
    ]
    for kind in ('consistency = "trowel"', 'spread = "200 mm to 250 mm"', 'split = "rim"\nfraction = "5 %"'):
        assert brief(changed((first, f"{first}[[step]]\n{kind}\n"))) == [("too-early", kind.split("\n")[0])]


def test_ice_on_hand_needs_no_dose_but_a_step_needs_one() -> None:
    ice = '[[material]]\nkey = "ice"\nname = "Crushed ice"\nrole = "ice"\n'
    with_ice = changed(('[[material]]\nkey = "fibre"', f'{ice}[[material]]\nkey = "fibre"'))
    assert brief(with_ice) == []
    poured = with_ice.replace('add = "emulsion"', 'add = ["emulsion", "ice"]')
    assert brief(poured) == [("amount-missing", 'add = ["emulsion", "ice"]')]
    assert brief(poured.replace('role = "ice"', 'role = "ice"\ndose = "3 %"\nof = "binder"')) == []
    assert brief(with_ice.replace('role = "ice"', 'role = "ice"\nof = "binder"')) == [
        ("needs-key", 'of = "binder"')
    ]


def test_too_many() -> None:
    note = '[[step]]\nnote = "x"\n'
    (fault,) = faults_of(SOUND + note * 90)
    assert (fault.code, fault.told.found_count, fault.line) == (
        "too-many",
        100,
        len(SOUND.split("\n")) + 178,
    )


def test_all_faults_come_together_each_with_what_to_write() -> None:
    text = changed(
        ('air = "5 %"', "air = 5"),
        ('most = "35 %"', 'most = "32 %"'),
        ('density = "3150 kg/m3"', 'densty = "3150 kg/m3"'),
        ('solids = "48 %"', 'solid = "48 %"'),
        ('release = "water"\nby = "5 %"\nmix = "25 s"', 'release = "water"\nby = "5"\nmix = "25"'),
        ("temperature = true", 'temprature = true'),
    )  # fmt: skip
    faults = faults_of(text)
    assert [fault.code for fault in faults] == [
        "not-text", "band-order", "unknown-key", "unknown-key", "out-of-range", "unit-missing", "step-kind-missing",
    ]  # fmt: skip
    assert [fault.line for fault in faults] == sorted(fault.line for fault in faults)
    assert [getattr(fault.told, "suggestion", None) for fault in faults] == [
        None, None, "density", "solids", "5 %", "s", "temperature",
    ]  # fmt: skip
    assert [fault.example for fault in faults][:2] == ['"5 %"', '"35 %"']
    assert faults[5].example == '"25 s"'


def test_a_slip_repeated_a_thousand_times_is_told_a_hundred_times() -> None:
    assert len(faults_of("".join(f"nmae{n} = 1\n" for n in range(1000)) + SOUND)) == 100
