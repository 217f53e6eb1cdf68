"""Films that lie mirrored, turned or scaled: recognised, told in one finding, and nothing else is taken for it."""

import json
import random
import re
import shutil

import pytest

from vectorsep.cli import main
from vectorsep.films import read_manifest, write_bare_film
from vectorsep.model import Film, MadeFilm
from vectorsep.pipeline import check_films, separate
from vectorsep.press_settings import FilmSetting
from vectorsep.settings import Settings

WIDE, HIGH = 70, 50
POSED = ("film-mirrored", "film-turned", "film-scaled")
# case: what is told, the transform of the ink that it is told of
POSES = {
    "mirrored left to right": f"matrix(-1 0 0 1 {WIDE} 0)",
    "mirrored upside down": f"matrix(1 0 0 -1 0 {HIGH})",
    "turned by 180 degrees": f"rotate(180 {WIDE / 2} {HIGH / 2})",
    "turned by 90 degrees clockwise": f"rotate(90 {WIDE / 2} {HIGH / 2})",
    "turned by 90 degrees anticlockwise": f"rotate(-90 {WIDE / 2} {HIGH / 2})",
    "mirrored left to right and turned by 90 degrees clockwise": f"rotate(90 30 25) matrix(-1 0 0 1 {WIDE} 0)",
    "scaled to 110 %": "translate(35 25) scale(1.1) translate(-35 -25)",
    "scaled to 97 %": "scale(.97)",
    "mirrored left to right and scaled to 102 %": "scale(-1.02 1.02) translate(-68 0)",
}


def random_art(rng):
    """Two to nine bars and triangles in up to three inks: films of a single bar are among them."""
    shapes = []
    for _ in range(rng.randint(2, 9)):
        x, y, fill = rng.uniform(4, WIDE - 14), rng.uniform(4, HIGH - 14), rng.choice(["#e02020", "#1040c0", "#ffd000"])
        if rng.random() < 0.5:
            size = f'width="{rng.uniform(2, 10):.2f}" height="{rng.uniform(2, 10):.2f}"'
            shapes.append(f'<rect x="{x:.2f}" y="{y:.2f}" {size} fill="{fill}"/>')
        else:
            legs = [rng.uniform(*ends) for ends in ((3, 9), (-2, 5), (-4, 1), (3, 8))]
            path = "M{:.2f} {:.2f}l{:.2f} {:.2f}l{:.2f} {:.2f}z".format(x, y, *legs)
            shapes.append(f'<path d="{path}" fill="{fill}"/>')
    size = f'width="{WIDE}mm" height="{HIGH}mm" viewBox="0 0 {WIDE} {HIGH}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{"".join(shapes)}</svg>'.encode()


class Job:
    """A finished job in memory, whose films are edited as texts and checked."""

    def __init__(self, svg, film=FilmSetting()):  # noqa: B008 - frozen
        _, self.files = separate(svg, Settings(film=film), "art.svg")
        self.manifest = read_manifest(self.files["stacking-report.json"])
        plates = [entry.plate for entry in self.manifest.plates]
        self.made = {
            entry.file: MadeFilm(
                write_bare_film(plates, order, self.manifest.sheet, self.manifest.settings, self.manifest.job_name),
                entry.ink,
            )
            for order, entry in enumerate(self.manifest.plates, start=1)
        }

    def check(self, edit):
        """The findings of all films, each edited alike."""
        films = [
            Film(entry.file, entry.plate, edit(self.files[entry.file].decode()).encode())
            for entry in self.manifest.plates
        ]
        return check_films(films, self.manifest.sheet, self.manifest.settings, self.made).findings


def transform_ink(transform):
    return lambda svg: svg.replace('id="ink"', f'id="ink" transform="{transform}"', 1)


def transform_film(transform):
    return lambda svg: svg.replace("<defs />", f'<g transform="{transform}">').replace("</svg>", "</g></svg>")


def edit_ink(change):
    """An edit of the film's ink alone, which `change` makes of the text of its paths."""

    def edit(svg):
        start = svg.index('id="ink"')
        end = svg.index("</g>", start)
        return svg[:start] + change(svg[start:end]) + svg[end:]

    return edit


@pytest.mark.parametrize("seed", range(4))
def test_random_ink_is_known_again_in_every_pose(seed):
    job = Job(random_art(random.Random(seed)))
    for told, transform in POSES.items():
        findings = [finding for finding in job.check(transform_ink(transform)) if finding.code in POSED]
        assert [(finding.severity, finding.plate) for finding in findings] == [("unsafe", None)], (told, findings)
        assert findings[0].message.startswith(f"the ink of all films is {told}: "), told
        assert findings[0].code == f"film-{told.split()[0].replace('stretched', 'scaled')}"


MIDST = b"""<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="60mm" viewBox="0 0 100 60">
<path d="M30 20h40v20h-25v5h-15z" fill="#e33"/></svg>"""


@pytest.mark.parametrize(
    ("told", "transform"),
    [("scaled to 110 %", "translate(-7 -2) scale(1.1)"), ("mirrored left to right", "matrix(-1 0 0 1 93 0)")],
)
@pytest.mark.parametrize("place", ['x="8" y="4"', 'x="70.2" y="25"'], ids=["far out", "past its edge"])
def test_ink_is_known_again_though_a_speck_lies_outside_of_it(told, transform, place):
    """A speck of 0.09 mm² makes the ink's bounds larger, so they tell no pose or a wrong scale; nor do the page and the
    marks tell it, which lie as they were made."""
    speck = edit_ink(lambda text: f'{text}<rect {place} width="0.3" height="0.3"/>')
    findings = Job(MIDST).check(lambda svg: transform_ink(transform)(speck(svg)))
    posed = [finding.message for finding in findings if finding.code in POSED]
    assert [message.split(":")[0].split(" (")[0] for message in posed] == [f"the ink of all films is {told}"]


@pytest.mark.parametrize("seed", range(4, 6))
def test_random_sets_with_their_lettering_are_known_again(seed):
    job = Job(random_art(random.Random(seed)))
    for told in ("mirrored left to right", "mirrored upside down", "turned by 180 degrees"):
        findings = job.check(transform_film(POSES[told]))
        unsafe = [finding.message for finding in findings if finding.severity == "unsafe"]
        assert [message.split(":")[0] for message in unsafe] == [f"all films are {told}"]
        assert not [finding for finding in findings if finding.code == "film-edited"]


def paths_in(text):
    return re.findall(r"<path[^>]*/>", text)


def rounded(decimals):
    def all_numbers(match):
        return re.sub(r"-?\d+\.?\d*", lambda number: f"{float(number[0]):.{decimals}f}", match[0])

    return lambda text: re.sub(r' d="[^"]*"', all_numbers, text)


def with_a_bar(rng):
    x, y, wide, high = (rng.uniform(*ends) for ends in ((0, WIDE), (0, HIGH), (0.3, 6), (0.3, 6)))
    return lambda text: f'{text}<rect x="{x:.2f}" y="{y:.2f}" width="{wide:.2f}" height="{high:.2f}"/>'


def without_a_path(rng):
    def change(text):
        paths = paths_in(text)
        return text.replace(rng.choice(paths), "", 1) if len(paths) > 1 else text

    return change


def with_a_path_moved(rng):
    dx, dy = rng.uniform(-8, 8), rng.uniform(-8, 8)

    def change(text):
        paths = paths_in(text)
        path = rng.choice(paths)
        moved = path.replace("<path", f'<path transform="translate({dx:.2f} {dy:.2f})"')
        return text.replace(path, moved, 1) if len(paths) > 1 else text

    return change


def spread(rng):
    width = rng.uniform(0.05, 1)
    return lambda text: text.replace('id="ink"', f'id="ink" stroke="#000000" stroke-width="{width:.2f}"', 1)


@pytest.mark.parametrize("seed", range(10, 16))
def test_ink_that_was_added_removed_moved_or_spread_is_in_no_pose(seed):
    rng = random.Random(seed)
    job = Job(random_art(rng))
    for make in (with_a_bar, without_a_path, with_a_path_moved, spread):
        findings = job.check(edit_ink(make(rng)))
        assert not [finding for finding in findings if finding.code in POSED], make.__name__
        assert any(finding.code in ("film-edited", "film-moved") for finding in findings)


@pytest.mark.parametrize("decimals", [2, 3])
@pytest.mark.parametrize("seed", range(20, 25))
def test_films_saved_anew_by_a_program_that_rounds_measure_as_they_were_made(seed, decimals):
    findings = Job(random_art(random.Random(seed))).check(edit_ink(rounded(decimals)))
    edits = [finding for finding in findings if finding.code in (*POSED, "film-edited", "film-moved")]
    assert {finding.message for finding in edits} == {"edited, but its ink measures as it was made"}


BASE = """<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="60mm" viewBox="0 0 100 60">
<rect x="5" y="5" width="90" height="50" fill="#e33"/><rect x="25" y="15" width="40" height="20" fill="#141c30"/>
<rect x="35" y="20" width="10" height="10" fill="#000"/></svg>"""
RED = "03-red.svg"
FLIP = "matrix(-1 0 0 1 100 0)"


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    root = tmp_path_factory.mktemp("job")
    (root / "art.svg").write_text(BASE)
    assert main(["separate", str(root / "art.svg"), "--out", str(root / "plates"), "--quiet"]) == 0
    for paper in (root / "plates").glob("*.pdf"):
        paper.unlink()
    return root / "plates"


@pytest.fixture
def folder(sound, tmp_path):
    return shutil.copytree(sound, tmp_path / "plates")


def change(folder, edit, *files):
    """Edit these films, or all."""
    for path in [folder / file for file in files] or sorted(folder.glob("0*.svg")):
        before = path.read_text()
        path.write_text(edit(before))
        assert path.read_text() != before


def check(folder, capsys):
    """Exit code, the lines that say unsafe, those that warn."""
    code = main(["check", str(folder)])
    lines = capsys.readouterr().out.splitlines()
    return (code, *([line for line in lines if line.startswith(word)] for word in ("unsafe", "warning")))


PUT_RIGHT = "; what else is told holds for films put right"


def test_one_film_with_mirrored_ink_is_unsafe_with_its_place_and_remedy(folder, capsys):
    change(folder, transform_ink(FLIP), RED)
    code, unsafe, warnings = check(folder, capsys)
    assert (code, warnings) == (1, [])
    (line,) = unsafe
    place = r"([\d.]+), (25\.\d+) mm"
    how = r"its ink is mirrored left to right \(195 mm² went at"
    x, y, went_x, went_y = map(float, re.match(rf"unsafe: red at {place}: {how} {place}", line).groups())
    assert (x, y) == pytest.approx((went_x, went_y), abs=0.051)  # the place of the first change that is told
    assert line.endswith("): mirror it back, or separate again" + PUT_RIGHT)


def test_one_film_mirrored_as_a_whole_is_told_as_such(folder, capsys):
    change(folder, transform_film(FLIP), RED)
    code, unsafe, warnings = check(folder, capsys)
    assert (code, len(unsafe), warnings) == (1, 1, [])
    assert "this film is mirrored left to right" in unsafe[0]


def test_two_films_that_lie_alike_are_told_together(folder, capsys):
    change(folder, transform_ink(FLIP), RED, "02-white.svg", "04-dark-greyish-blue.svg")
    code, unsafe, _ = check(folder, capsys)
    assert (code, len(unsafe)) == (1, 1), "the white is the same both ways"
    assert "unsafe: the ink of red and dark greyish blue is mirrored left to right: mirror it back" in unsafe[0]


# case: the edit of all films, the one finding of the set
SETS = {
    "mirrored, lettering included": (
        transform_film(FLIP),
        "all films are mirrored left to right: mirror them back, or separate again with --mirror if films are to lie "
        "so",
    ),
    "enlarged with its page": (
        lambda svg: svg.replace('width="140.0000mm"', 'width="154mm"').replace('height="100.0000mm"', 'height="110mm"'),
        "all films are scaled to 110 %: bring them back to 100 %, or separate again with --width 110mm if the print is "
        "to be so large",
    ),
    "reduced on its page": (
        transform_film("translate(50 30) scale(.9) translate(-50 -30)"),
        "all films are scaled to 90 %: bring them back to 100 %, or separate again with --width 90mm if the print is "
        "to be so large",
    ),
    "stretched with its page": (
        lambda svg: svg.replace('width="140.0000mm"', 'width="147mm" preserveAspectRatio="none"'),
        "all films are stretched to 105 % across and 100 % down: bring them back to 100 %, or separate again",
    ),
    "ink enlarged between its marks": (
        transform_ink("scale(1.1)"),
        "the ink of all films is scaled to 110 %: bring it back to 100 %, or separate again",
    ),
}


@pytest.mark.parametrize(("edit", "told"), SETS.values(), ids=SETS)
def test_a_set_that_was_edited_alike_is_told_in_one_finding(folder, capsys, edit, told):
    change(folder, edit)
    assert check(folder, capsys) == (1, [f"unsafe: {told}{PUT_RIGHT}"], [])


def test_what_else_is_wrong_is_told_of_the_films_put_right(folder, capsys):
    change(folder, transform_film(FLIP))
    change(folder, edit_ink(lambda text: f'{text}<rect x="1" y="1" width="1" height="1"/>'), RED)
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert unsafe[0].startswith("unsafe: all films are mirrored left to right")
    assert [line for line in unsafe if re.match(r"unsafe: red at 1\.\d+, 1\.\d+ mm: 1 mm² of ink lies past the", line)]


def test_a_mirrored_set_that_was_mirrored_back_is_told_the_way_it_was_asked_for(sound, tmp_path, capsys):
    art, plates = str(sound.parent / "art.svg"), tmp_path / "mirrored"
    assert main(["separate", art, "--mirror", "--out", str(plates), "--quiet"]) == 0
    for paper in plates.glob("*.pdf"):
        paper.unlink()
    change(plates, lambda svg: svg.replace("matrix(-1 0 0 1 100.0000 0)", "translate(0 0)"))
    code, unsafe, _ = check(plates, capsys)
    assert (code, len(unsafe)) == (1, 1)
    assert "mirror them back, or separate again with --no-mirror if films are to lie so" in unsafe[0]


def test_a_scale_within_what_the_press_may_be_off_is_a_warning(folder, capsys):
    change(folder, transform_film("translate(50 30) scale(1.002) translate(-50 -30)"), RED)
    _, unsafe, warnings = check(folder, capsys)
    assert not [line for line in unsafe if "scaled" in line]
    assert [line for line in warnings if "this film is scaled to 100.2 %" in line]


@pytest.mark.parametrize("edit", [transform_ink, transform_film], ids=["ink", "film"])
@pytest.mark.parametrize(("scale", "safe"), [(1.001, True), (1.003, False)])
def test_a_scale_within_what_the_press_may_be_off_is_measured_as_it_lies(folder, capsys, edit, scale, safe):
    """The art's corners are 51.5 mm from its middle and 0.39 mm inside the blocker's: 0.34 or 0.24 mm are left."""
    change(folder, edit(f"translate(50 30) scale({scale}) translate(-50 -30)"), RED)
    code, unsafe, warnings = check(folder, capsys)
    assert code == (not safe)
    assert any(line.startswith("warning: red") and "is scaled to" in line for line in warnings)
    assert [re.search(r"within 0.24\d+ mm of the blocker's edge", line) is not None for line in unsafe] == [True] * code


def test_a_window_moved_inside_a_film_is_told_with_its_place_and_size(folder, capsys):
    window = "M 64.75 15.25 L 64.75 34.75 25.25 34.75 25.25 15.25 Z"
    moved = "M 57.75 15.25 L 57.75 34.75 18.25 34.75 18.25 15.25 Z"
    change(folder, lambda svg: svg.replace(window, moved), RED)
    _, _, warnings = check(folder, capsys)
    (line,) = [line for line in warnings if "came at" in line]
    came = re.search(r"(\d+) mm² came at ([\d.]+), ([\d.]+) mm", line)
    went = re.search(r"(\d+) mm² went at ([\d.]+), ([\d.]+) mm", line)
    assert [float(word) for word in came.groups()] == pytest.approx([7 * 19.5, 61.25, 25], abs=1.0)
    assert [float(word) for word in went.groups()] == pytest.approx([7 * 19.5, 21.75, 25], abs=1.0)


def test_a_report_of_an_older_version_says_what_it_lacks(folder, capsys):
    report = json.loads((folder / "stacking-report.json").read_text())
    for plate in report["plates"]:
        del plate["film_ink"]["covered"]
    (folder / "stacking-report.json").write_text(json.dumps(report))
    change(folder, transform_ink(FLIP), RED)
    _, _, warnings = check(folder, capsys)
    (line,) = [line for line in warnings if line.startswith("warning: red")]
    assert "does not keep where its ink lay: whether it was mirrored, turned or moved inside is not known" in line


BAR = f"""<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE}mm" height="{HIGH}mm" viewBox="0 0 {WIDE} {HIGH}">
<rect x="10" y="10" width="20" height="8" fill="#e02020"/></svg>""".encode()


@pytest.fixture(scope="module")
def bar():
    return Job(BAR)


def test_a_bar_that_is_turned_is_not_said_to_be_stretched(bar):
    (finding,) = [finding for finding in bar.check(transform_ink("rotate(90 35 25)")) if finding.code in POSED]
    assert "is turned by 90 degrees clockwise: " in finding.message


def test_a_bar_that_is_trimmed_is_not_said_to_be_stretched(bar):
    trimmed = transform_ink("translate(5 0) scale(.8 1)")
    findings = bar.check(trimmed)
    assert not [finding for finding in findings if finding.code in POSED]
    assert any("less ink than was made" in finding.message for finding in findings)


def test_on_a_mirrored_film_a_turn_is_told_as_it_is_seen_there():
    job = Job(BAR, FilmSetting(mirror=True))
    # the film's group turns the design over, so that what turns clockwise inside it is seen to turn the other way
    (finding,) = [finding for finding in job.check(transform_ink("rotate(90 35 25)")) if finding.code in POSED]
    assert "is turned by 90 degrees anticlockwise: " in finding.message
