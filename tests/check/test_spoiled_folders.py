"""Whole folders spoiled as files, by hand or by a drawing program: `vectorsep check` names the plate and the place."""

import json
import os
import re
import shutil
import subprocess
import sys

import pytest

import vectorsep
from vectorsep.check import Whereabouts, viewer_findings
from vectorsep.cli import main

ART = """<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect x="5" y="5" width="30" height="30" fill="#e02020"/>
<circle cx="35" cy="20" r="12" fill="#ffd000"/>
<rect x="50" y="10" width="6" height="20" fill="#1040c0"/>
<circle cx="12" cy="12" r="4" fill="#ffffff"/>
</svg>"""
BLOCKER, WHITE, YELLOW, RED, BLUE = "01-blocker.svg", "02-white.svg", "03-yellow.svg", "04-red.svg", "05-blue.svg"
REPORT = "stacking-report.json"
PAPERS = ["films.pdf", "separations.pdf"]


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    root = tmp_path_factory.mktemp("job")
    (root / "art.svg").write_text(ART)
    assert main(["separate", str(root / "art.svg"), "--out", str(root / "plates"), "--quiet"]) == 0
    return root / "plates"


@pytest.fixture
def folder(sound, tmp_path):
    return shutil.copytree(sound, tmp_path / "plates")


def edit(folder, file, pattern, replacement):
    """Change the first place in a file that matches; it must match."""
    path = folder / file
    text, count = re.subn(pattern, replacement, path.read_text(), count=1)
    assert count == 1
    path.write_text(text)


def draw(folder, file, markup):
    edit(folder, file, "</svg>", f"{markup}</svg>")


def check(folder, capsys, *options):
    """Exit code, and the lines that say unsafe."""
    code = main(["check", str(folder), *options])
    told = capsys.readouterr()
    assert "Traceback" not in told.out + told.err
    return code, [line for line in told.out.splitlines() if line.startswith("unsafe")], told


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_no_pipe_is_waited_for(folder):
    (folder / RED).unlink()
    os.mkfifo(folder / RED)
    os.mkfifo(folder / "06-more.svg")
    command = [sys.executable, "-m", "vectorsep", "check", folder]
    told = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert told.returncode == 1
    assert f"{RED} is listed in the report but not in the folder: put it back" in told.stdout


def test_an_untouched_folder_is_safe(folder, capsys):
    code, unsafe, told = check(folder, capsys)
    assert (code, unsafe) == (0, [])
    assert "SAFE at a registration tolerance of 0.25 mm" in told.out


def test_a_larger_tolerance_can_be_asked_for_and_is_not_met(folder, capsys):
    code, unsafe, _ = check(folder, capsys, "--registration", "0.45mm")
    assert code == 1
    assert [re.match(r"unsafe: (\w+)", line)[1] for line in unsafe] == ["yellow", "red", "blue"]
    assert all("the press needs 0.45 mm: separate again with a clearance of no less" in line for line in unsafe)
    again = folder.with_name("again")
    art = folder.with_name("art.svg")
    art.write_text(ART)
    assert main(["separate", str(art), "--out", str(again), "--clearance", "0.45mm", "--quiet"]) == 0
    assert check(again, capsys, "--registration", "0.45mm")[:2] == (0, []), "the remedy holds"


@pytest.mark.parametrize("shift", [None, "translate(0 0.2)"])
def test_slits_beside_a_film_that_was_moved_are_blamed_on_the_edit_first(folder, capsys, shift):
    """The red and the yellow meet; a red moved off leaves a slit that no trap of the job would close."""
    if shift:
        edit(folder, RED, INK, f'{INK} transform="{shift}"')
    _, _, told = check(folder, capsys)
    slits = [line for line in told.out.splitlines() if "show white or blocker" in line]
    assert all("a film that was edited may do it: put it as it was; else what prints" in line for line in slits)
    assert bool(slits) is bool(shift)
    shown = [line for line in told.out.splitlines() if "of white show beside" in line]
    assert all("or a colour less far, than the job has them: make them anew" in line for line in shown)
    assert bool(shown) is bool(shift), "it is the red that was moved, and no white"


def test_a_film_given_for_its_folder_is_told_to_be_a_file(folder, capsys):
    assert main(["check", str(folder / RED)]) == 2
    assert capsys.readouterr().err.endswith(f"{RED}: is a file; give the folder that separate has written\n")


INK = 'id="ink"'
# case: file, how it is changed, plate named, words that must stand in the line, place (mm) and how near
EDITS = {
    "group moved": (RED, INK, f'{INK} transform="translate(-0.5 0)"', "red", "past the blocker", (4.5, 20), 16),
    "group moved a little": (
        BLUE,
        INK,
        f'{INK} transform="translate(0.2 0)"',
        "blue",
        "comes within",
        (56.2, 20),
        10.1,
    ),
    "group scaled": (
        YELLOW,
        INK,
        f'{INK} transform="scale(1.02)"',
        "yellow",
        "its ink is scaled to 102 %",
        (48, 20),
        25,
    ),
    "stroke added": (BLUE, INK, f'{INK} stroke="#000" stroke-width="0.5"', "blue", "comes within", (53, 20), 11),
    "page moved": (RED, r'viewBox="-20', 'viewBox="-19', "red", "past the blocker", (4.2, 20), 16),
    "page size": (WHITE, r'width="[\d.]+mm"', 'width="101mm"', "white", "it cannot register", None, None),
    "grey": (BLOCKER, r'fill="#000000"', 'fill="#808080"', "blocker black", "not solid black", None, None),
    "half a tint": (BLOCKER, INK, f'{INK} opacity="0.5"', "blocker black", "cannot be read back", None, None),
    "hidden": (YELLOW, INK, f'{INK} display="none"', "yellow", "nothing to print", None, None),
    "moved off the page": (BLUE, INK, f'{INK} transform="translate(300 0)"', "blue", "nothing to print", None, None),
    "cropped": (
        BLOCKER,
        f"{INK}>",
        f'{INK} clip-path="url(#crop)"><clipPath id="crop"><rect x="-9" y="-9" width="50" height="60"/></clipPath>',
        "blue",
        "past the blocker",
        (53, 20),
        11,
    ),
    "blocker's path removed": (BLOCKER, r'<path d="[^"]*"\s*/>', "", None, "past the blocker", None, None),
    "broken XML": (RED, "</svg>", "</svg", "red", "cannot be read back", None, None),
    "script": (RED, "</svg>", "<script>1</script></svg>", "red", "cannot be read back", None, None),
    "for one language": (RED, INK, f'{INK} systemLanguage="en"', "red", "depends on who opens it", None, None),
    "hidden on screens": (
        RED,
        "</svg>",
        "<style>@media screen{#ink{opacity:1}}</style></svg>",
        "red",
        "depends on who opens it",
        None,
        None,
    ),
    "moved by a newer property": (
        RED,
        INK,
        f'{INK} style="translate:1px 0"',
        "red",
        "depends on who opens it",
        None,
        None,
    ),
    "hidden by a variable": (
        BLOCKER,
        INK,
        f'{INK} style="--d:none;display:var(--d)"',
        "blocker black",
        "what this film shows depends on who opens it: remove display from the style of",
        None,
        None,
    ),
    "hidden in capitals": (BLOCKER, INK, f'{INK} style="display:NONE"', "blocker black", "depends on who", None, None),
    "page size by style": (RED, "<svg ", '<svg style="width:300mm" ', "red", "depends on who opens it", None, None),
    "attributes by document type": (
        BLOCKER,
        r"\?>",
        '?><!DOCTYPE svg [<!ATTLIST path display CDATA "none">]>',
        "blocker black",
        "remove <!ATTLIST>",
        None,
        None,
    ),
    "a stroke by the screen's scale": (
        BLOCKER,
        INK,
        f'{INK} stroke="#000" vector-effect="non-scaling-stroke"',
        "blocker black",
        "depends on who opens it",
        None,
        None,
    ),
    "a colour that only some know": (
        BLOCKER,
        INK,
        f'{INK} style="stroke:oklch(50% 0 0)"',
        "blocker black",
        "depends on who opens it: remove stroke from the style of",
        None,
        None,
    ),
    "a sum": (BLOCKER, INK, f'{INK} stroke-width="calc(1px * 0)"', "blocker black", "depends on", None, None),
    "a colour of a named space": (
        BLOCKER,
        INK,
        f'{INK} style="stroke:color(srgb 0 0 0)"',
        "blocker black",
        "depends on who opens it: remove stroke from the style of",
        None,
        None,
    ),
    "a picture off the page": (
        RED,
        "</svg>",
        '<image href="a.png" x="999" width="9" height="9"/></svg>',
        "red",
        "cannot be read back",
        None,
        None,
    ),
    "text that is clipped away": (
        BLUE,
        "</svg>",
        '<clipPath id="none"/><g clip-path="url(#none)"><text>A</text></g></svg>',
        "blue",
        "cannot be read back",
        None,
        None,
    ),
    "a gradient of steps": (
        YELLOW,
        "</svg>",
        '<linearGradient id="g"><stop stop-color="#000"/><stop stop-color="red"/></linearGradient>'
        '<path d="M20 18h4v4z" fill="url(#g)"/></svg>',
        "yellow",
        "cannot be read back",
        None,
        None,
    ),
    "a pattern": (
        BLOCKER,
        "</svg>",
        '<pattern id="p"/></svg>',
        "blocker black",
        "depends on who opens it: remove the <pattern>",
        None,
        None,
    ),
    "a mask": (
        BLOCKER,
        INK,
        f'{INK} style="mask:none"',
        "blocker black",
        "depends on who opens it: remove mask from the style of",
        None,
        None,
    ),
    "sheet from elsewhere": (
        RED,
        r"\?>",
        r'?><?xml-stylesheet href="a.css"?>',
        "red",
        "cannot be read back",
        None,
        None,
    ),
}
DRAWN = {
    "speck on cloth": (YELLOW, '<circle cx="44" cy="3" r="0.2"/>', "yellow", "past the blocker", (44, 3), 0.2),
    **{
        f"speck {side} the page": (
            YELLOW,
            f'<circle cx="{x}" cy="{y}" r="0.2"/>',
            "yellow",
            "past the blocker",
            (x, y),
            0.2,
        )
        for side, x, y in (("left of", -2, 3), ("right of", 62, 3), ("above", 44, -2), ("below", 44, 42))
    },
    "ink in the margin": (BLUE, '<rect x="-16" y="-16" width="3" height="2"/>', "blue", "margin", (-14.5, -15), 1.5),
    "white paint on the blocker": (
        BLOCKER,
        '<rect x="20" y="15" width="2" height="2" fill="#ffffff"/>',
        "blocker black",
        "not solid black: remove it, and cut out what it covers",
        (21, 16),
        1.5,
    ),
    "a web page's style": (
        RED,
        '<style xmlns="http://www.w3.org/1999/xhtml">#ink{display:none}</style>',
        "red",
        "a web page's <style> is not read",
        None,
        None,
    ),
    "far out": (RED, '<path d="M0 0L1e300 0L0 1e300z"/>', "red", "cannot be read back", None, None),
    "pixels": (RED, '<image href="data:image/png;base64,AAAA" width="9" height="9"/>', "red", "read back", None, None),
}


MARKS = 'id="marks"'
# case: file, pattern, replacement, words that must stand in the line
MARK_EDITS = {
    "moved": (RED, MARKS, f'{MARKS} transform="translate(0.05 0)"', "registration marks differ"),
    "turned": (RED, MARKS, f'{MARKS} transform="rotate(0.2 30 20)"', "4 of the 4 registration marks differ"),
    "scaled": (RED, MARKS, f'{MARKS} transform="scale(1.001)"', "registration marks differ"),
    "hidden": (RED, MARKS, f'{MARKS} display="none"', "4 of the 4 registration marks are not on"),
    "deleted": (RED, r'<g [^>]*id="marks".*?</g>', "", "4 of the 4 registration marks are not on"),
}


@pytest.mark.parametrize(("file", "pattern", "new", "words"), MARK_EDITS.values(), ids=MARK_EDITS)
def test_registration_marks_that_are_not_those_of_the_set_are_unsafe(folder, capsys, file, pattern, new, words):
    edit(folder, file, pattern, new)
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, "red", words, None, None)


def test_a_line_drawn_along_one_mark_is_told_at_that_mark(folder, capsys):
    sheet = json.loads((folder / REPORT).read_text())["film"]
    right = sheet["design_width_mm"] + (sheet["ink_margin_mm"] + sheet["margin_x_mm"]) / 2
    draw(folder, RED, f'<path d="M{right + 0.4} 16v8" stroke="#000000" stroke-width="0.5"/>')
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, "red", "1 of the 4 registration marks differs from those of blocker black", (right, 20), 0.01)


def test_marks_missing_from_the_blocker_are_told_of_the_blocker_alone(folder, capsys):
    edit(folder, BLOCKER, MARKS, f'{MARKS} display="none"')
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert [line.split(" at ")[0] for line in unsafe if "registration marks" in line] == ["unsafe: blocker black"]


def test_a_mark_may_move_by_a_drawing_programs_rounding(folder, capsys):
    edit(folder, RED, MARKS, f'{MARKS} transform="translate(0.004 -0.004)"')
    assert not [line for line in check(folder, capsys)[1] if "registration marks" in line]


@pytest.mark.parametrize(("off_mm", "told"), [(0.008, False), (-0.012, True)])
@pytest.mark.parametrize(("side", "size_mm"), [("width", 100), ("height", 80)])
def test_a_page_may_differ_by_rounding_and_no_more(folder, capsys, side, size_mm, off_mm, told):
    """In hundredths of a millimetre, rounded down by some, a size is off by less than 0.01 mm."""
    edit(folder, RED, f'{side}="{size_mm}.0000mm"', f'{side}="{size_mm + off_mm}mm"')
    assert any("it cannot register" in line for line in check(folder, capsys)[1]) is told


PEN = 'fill="none" stroke="#000000" stroke-width'
# case: markup, words that must stand in the line, place (mm) and how near
LINES = {
    "art's line moved out": (
        f'<path d="M-12 28v8" {PEN}="0.5"/>',
        "a line 8 mm long and about 0.5 mm",
        (-12, 32),
        4.5,
    ),
    "a hand-drawn hook": (f'<path d="M66 4c3 0 3 4 0 4" {PEN}="0.3"/>', "and about 0.3 mm wide", (68, 6), 3),
    "a thin bar": ('<rect x="66" y="30" width="6" height="0.6"/>', "a line 6 mm long and about 0.6 mm", (69, 30.3), 3),
    "two": (
        f'<path d="M-12 28v8M-9 28v4" {PEN}="0.5"/>',
        "2 lines in the margin, the longest 8 mm long",
        (-12, 32),
        4.5,
    ),
    "a dash with round ends": (
        f'<path d="M-12 28v2" {PEN}="0.78" stroke-linecap="round"/>',
        "a line 2.4 mm long and about 0.86 mm wide in the margin",
        (-12, 29),
        1.5,
    ),
    "two bars side by side": (
        '<rect x="66" y="30" width="6" height="0.6"/><rect x="66" y="30.6" width="6" height="0.6"/>',
        "a line 6 mm long and about 1.2 mm",
        (69, 30.6),
        3,
    ),
    "across the lettering": (f'<path d="M39 -17h38" {PEN}="0.4"/>', "none of this film's marks", (58, -17), 20),
}


@pytest.mark.parametrize(("markup", "words", "near", "within"), LINES.values(), ids=LINES)
def test_a_thin_line_in_the_margin_is_no_mark(folder, capsys, markup, words, near, within):
    draw(folder, YELLOW, markup)
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    (line,) = [line for line in unsafe if "PDF" not in line and ".pdf" not in line]
    assert_told([line], "yellow", words, near, within)
    assert re.search("would print on cloth: remove (it$|them, or move the film's own back; if)", line)


def test_a_film_of_a_mirrored_set_tells_the_line_where_the_design_has_it(sound, tmp_path, capsys):
    (tmp_path / "job.toml").write_text('[film]\nmirror = true\n[[inks]]\nhex = "#e02020"\nname = "red"\nmesh = 200\n')
    art, plates = str(sound.parent / "art.svg"), tmp_path / "mirrored"
    assert main(["separate", art, "--job", str(tmp_path / "job.toml"), "--out", str(plates), "--quiet"]) == 0
    for paper in PAPERS:
        (plates / paper).unlink()
    draw(plates, RED, "<!-- seen -->")
    assert check(plates, capsys)[:2] == (0, []), "its lettering tells the ink's own mesh"
    draw(plates, RED, f'<path d="M-12 28v8" {PEN}="0.5"/>')
    code, unsafe, _ = check(plates, capsys)
    assert (code, len(unsafe)) == (1, 1)
    assert_told(unsafe, "red", "in the margin", (72, 32), 4.5)


def test_what_a_film_says_may_be_struck_out(folder, capsys):
    lettering = r'(<path[^>]*stroke-width="0.3000"[^>]*/>)+'
    for paper in PAPERS:
        (folder / paper).unlink()
    edit(folder, RED, lettering, "")
    assert check(folder, capsys)[:2] == (0, [])


@pytest.mark.parametrize("size", [0.0, 1e-3, 9_000.0])
@pytest.mark.parametrize("name", ["design_width_mm", "design_height_mm", "margin_x_mm", "margin_y_mm"])
def test_a_report_with_a_sheet_that_no_film_has_ends_in_no_traceback(folder, capsys, name, size):
    draw(folder, RED, "<!-- seen -->")
    change_report(folder, lambda report: report["film"].update({name: size, "ink_margin_mm": 0.0}))
    code, unsafe, _ = check(folder, capsys)
    assert code == 2 or (code == 1 and unsafe)


def test_no_name_in_a_report_writes_a_verdict_on_the_terminal(folder, capsys):
    forged = "red\x1b[2J\nSAFE at a registration tolerance of 0.25 mm"
    change_report(folder, lambda report: report["plates"][3].update(ink=forged))
    main(["check", str(folder)])
    lines = capsys.readouterr().out.splitlines()
    assert sum(line.startswith("SAFE") for line in lines) <= 1, "the program's own, if any"
    assert not [line for line in lines if "\x1b" in line]
    assert [line for line in lines if line.startswith("red\\x1b[2J\\nSAFE at a registration tolerance of 0.25 mm: ")]


UNEVEN = {
    # case: markup whose drawing depends on whether a program reads the property, and what the line must name
    **{
        f"{declaration.split(':')[0]} of a {tag}": (f'<{tag} {attributes} style="{declaration}"/>', declaration)
        for tag, attributes, declarations in (
            ("rect", 'x="55" y="0" width="4" height="4"', ("width:0px", "HEIGHT:0px", "x:20px", "y:20px")),
            ("rect", 'x="20" y="18" width="4" height="4"', ("rx:1px", "ry:1px", "transform:scale(2)")),
            ("circle", 'cx="57" cy="2" r="1"', ("r:0px", "cx:20px", "cy:20px")),
            ("path", 'd="M55 0h4v4h-4z"', ("d:none",)),
        )
        for declaration in declarations
    },
    "d of a path by a path": ('<path d="M55 0h4v4h-4z" style="d:path(\'M20 18h1v1z\')"/>', "d:"),
    "a rule's width": ('<style>#k{width:0px}</style><rect id="k" x="55" width="4" height="4"/>', "width:"),
    "a prefix": ('<rect x="20" y="18" width="4" height="4" style="-khtml-transform:scale(9)"/>', "-khtml-transform:"),
    "a style's origin": (
        '<rect x="20" y="18" width="4" height="4" transform="scale(1)" style="transform-origin:99px 99px"/>',
        "transform-origin:",
    ),
    "an attribute's origin": (
        '<rect x="20" y="18" width="4" height="4" transform="scale(1)" transform-origin="99 99"/>',
        "transform-origin",
    ),
    "an attribute by a variable": (
        '<rect x="20" y="18" width="4" height="4" fill="var(--k,#000)"/>',
        "fill='var(--k,#000)'",
    ),
    "an attribute that is reckoned": (
        '<rect x="20" y="18" width="4" height="4" opacity="calc(1)"/>',
        "opacity='calc(1)'",
    ),
    **{
        f"stroke-width {width}": (
            f'<path d="M20 20h.3" stroke="#000" stroke-width="{width}"/>',
            f"stroke-width={width!r}",
        )
        for width in (
            "hypot(12px,16px)",
            "abs(9px)",
            "if(else:9px)",
            "1vw",
            "2.VMIN",
            "9dvh",
            "1cqw",
            "1em",
            "3rch",
            "1lh",
            "/**/9",
            "2\\63m",
        )
    },
    "a mark's side": ('<marker markerWidth="9vw"/>', "markerWidth='9vw'"),
    "a style's unit": ('<path d="M20 20h1" style="stroke-dasharray:1ex 2"/>', "stroke-dasharray:"),
    "an outline": ('<path d="M20 20h1" style="outline:9px solid"/>', "outline:"),
    "a size along the line": ('<rect width="1" height="1" style="inline-size:9px"/>', "inline-size:"),
    "a nested page's margin": ('<svg style="padding-left:9px"/>', "padding-left:"),
    "a nested page's border": ('<svg style="border:9px solid"/>', "border:"),
    "one way to overflow": ('<svg style="overflow-x:visible"/>', "overflow-x:"),
    "a style's overflow": ('<svg style="overflow:initial"/>', "overflow:"),
    "two words of overflow": ('<svg overflow="visible hidden"/>', "overflow='visible hidden'"),
    "contents alone": ('<g display="contents" transform="scale(9)"/>', "display='contents'"),
    "two references": (
        '<use href="#a" xlink:href="#b" xmlns:xlink="http://www.w3.org/1999/xlink"/>',
        "one of the two references",
    ),
    "a sheet of a type in capitals": ('<style type="TEXT/CSS">#k{opacity:1}</style>', "the type of the <style>"),
    "a sheet with a child": ("<style><g>#k{opacity:1}</g></style>", "what stands within the <style>"),
    "an attribute's box": ('<rect x="20" y="18" width="4" height="4" transform-box="fill-box"/>', "transform-box"),
}


@pytest.mark.parametrize(("markup", "named"), UNEVEN.values(), ids=UNEVEN)
def test_what_only_some_programs_obey_is_told_of(markup, named):
    """Of the bytes alone: the reader may refuse such a film before, for reasons of its own."""
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">{markup}</svg>'
    found = list(viewer_findings(svg.encode(), "yellow"))
    assert [(finding.code, finding.severity, finding.plate) for finding in found] == [
        ("film-ambiguous", "unsafe", "yellow")
    ]
    assert f"remove {named.removesuffix(':').split(':')[0]}".lower() in found[0].message.lower()


def test_markup_that_hides_in_an_encoding_is_told_of():
    svg = (
        b'<?xml version="1.0" encoding="UTF-7"?><svg xmlns="http://www.w3.org/2000/svg">+ADwAIQAtAC0- <path/> --></svg>'
    )
    assert "its encoding" in next(viewer_findings(svg, "yellow")).message


PLAIN = (
    '<path d="M20 20h1" stroke-width="1.5mm" style="stroke-dasharray:1 2px;overflow:visible;display:inline"/>',
    '<g id="1em" class="a/*b" data-x="c\\d" font-size="2em" overflow="hidden"/>',
    '<use href="#a" xlink:href="#a" xmlns:xlink="http://www.w3.org/1999/xlink"/><style type="text/css"/>',
)


@pytest.mark.parametrize("markup", PLAIN)
def test_what_all_programs_obey_is_not_told_of(markup):
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">{markup}</svg>'
    assert list(viewer_findings(svg.encode(), "yellow")) == []


def test_a_clip_that_is_hidden_itself_makes_the_folder_unsafe(folder, capsys):
    draw(
        folder,
        YELLOW,
        '<clipPath id="k" display="none"><path d="M0 0h1v1z"/></clipPath><path clip-path="url(#k)" d="M55 0h4v4h-4z"/>',
    )
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, "yellow", "its clip-path is hidden itself", None, None)


def test_a_size_in_a_style_that_hides_ink_makes_the_folder_unsafe(folder, capsys):
    draw(folder, YELLOW, '<rect x="55" y="0" width="4" height="4" style="width:0px"/>')
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, "yellow", "remove width from the style of <rect>", None, None)


# case: file, how it is changed, what the one finding says after naming the file
UNREADABLE = {
    "text": (
        RED,
        "</svg>",
        '<text x="10" y="-10" font-size="4">JOB 12</text></svg>',
        "<text> at line 2: text in no family is no shape: convert it to outlines; mend it in the film, or delete it",
    ),
    "text on the blocker": (
        BLOCKER,
        "</svg>",
        '<text id="job" font-family="Quay">JOB 12</text></svg>',
        '<text id="job"> at line 2: text in Quay is no shape: convert it to outlines; mend it in the film, or delete '
        "it",
    ),
    "a tint on the white": (
        WHITE,
        INK,
        f'{INK} opacity="0.5"',
        '<g id="ink"> at line 2: 50 % opacity is a tint, and flat ink prints solid colours only: use full opacity; '
        "mend it in the film, or delete it",
    ),
    "many things": (
        BLUE,
        "</svg>",
        "".join(f'<image id="i{n}" width="9" height="9"/>' for n in range(5)) + "</svg>",
        "; ".join(
            f'<image id="i{n}"> at line 2: a pixel picture has no flat areas: trace it to paths, or leave it out'
            for n in range(3)
        )
        + "; and 2 more; mend them in the film, or delete them",
    ),
    "a page too large": (
        RED,
        r'width="[\d.]+mm"',
        'width="3000mm"',
        "the page would print 3000 mm × 80 mm: give a size up to 2000 mm",
    ),
    "no XML": (
        RED,
        "</svg>",
        "</svg",
        "the artwork is no readable XML: expected '>', line 3, column 1. Export it again as SVG",
    ),
}


@pytest.mark.parametrize(("file", "pattern", "new", "why"), UNREADABLE.values(), ids=UNREADABLE)
def test_a_film_that_cannot_be_read_is_one_finding_with_remedies_of_a_film(folder, capsys, file, pattern, new, why):
    for paper in PAPERS:
        (folder / paper).unlink()
    edit(folder, file, pattern, new)
    code, unsafe, told = check(folder, capsys)
    assert code == 1
    (line,) = unsafe
    assert line.endswith(f": {file} cannot be read back, so it was not checked: {why}")
    assert "\\n" not in told.out and "--" not in told.out


def assert_told(unsafe, plate, words, near, within):
    lines = [line for line in unsafe if words in line and (plate is None or line.startswith(f"unsafe: {plate}"))]
    assert lines, unsafe
    if near is not None:
        x, y = map(float, re.search(r"at (-?[\d.]+), (-?[\d.]+) mm", lines[0]).groups())
        assert ((x - near[0]) ** 2 + (y - near[1]) ** 2) ** 0.5 <= within, lines[0]


@pytest.mark.parametrize(("file", "pattern", "new", "plate", "words", "near", "within"), EDITS.values(), ids=EDITS)
def test_an_edited_film_is_unsafe(folder, capsys, file, pattern, new, plate, words, near, within):
    edit(folder, file, pattern, new)
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, plate, words, near, within)


@pytest.mark.parametrize(("file", "markup", "plate", "words", "near", "within"), DRAWN.values(), ids=DRAWN)
def test_something_drawn_on_a_film_is_unsafe(folder, capsys, file, markup, plate, words, near, within):
    draw(folder, file, markup)
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, plate, words, near, within)


def test_one_path_shifted(folder, capsys):
    """Every number of the blue plate's path plus 0.2: what an editor does that moves a path without a transform."""
    path = folder / BLUE
    start, data, end = re.split(r'(?<= d=")([^"]*)', path.read_text(), maxsplit=1)
    path.write_text(start + re.sub(r"-?\d+\.?\d*", lambda number: f"{float(number[0]) + 0.2:.4f}", data) + end)
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, "blue", "comes within", (56, 30), 20)


def test_a_film_deleted_and_a_film_too_many(folder, capsys):
    (folder / YELLOW).unlink()
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, YELLOW, "not in the folder", None, None)
    shutil.copy(folder / RED, folder / "06-extra.svg")
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, "06-extra.svg", f"not in the report, but the same as {RED}: delete it", None, None)
    draw(folder, "06-extra.svg", "<!-- seen -->")
    assert_told(check(folder, capsys)[1], "06-extra.svg", "not in the report, so it was not checked", None, None)


RENAMED = {
    # case: which file goes where, in turn; what is told, file by file
    "a film": ([(RED, "final red.svg")], {RED: f"under the name final red.svg: name it {RED} again"}),
    "in capitals": ([(WHITE, "02-WHITE.SVG")], {WHITE: f"under the name 02-WHITE.SVG: name it {WHITE} again"}),
    "a paper": ([(PAPERS[0], "print me.pdf")], {PAPERS[0]: f"the name print me.pdf: name it {PAPERS[0]} again"}),
    "two for each other": (
        [(RED, "a"), (BLOCKER, RED), ("a", BLOCKER)],
        {RED: f"under the name {BLOCKER}: name it {RED} again", BLOCKER: f"the name {RED}: name it {BLOCKER} again"},
    ),
}


@pytest.mark.parametrize(("moves", "told_of"), RENAMED.values(), ids=RENAMED)
def test_a_renamed_file_is_known_again_and_measured(folder, capsys, moves, told_of):
    clearances = check(folder, capsys)[2].out.splitlines()[:4]
    for file, name in moves:
        (folder / file).rename(folder / name)
    code, unsafe, told = check(folder, capsys)
    assert (code, len(unsafe)) == (1, len(told_of))
    for file, words in told_of.items():
        assert_told(unsafe, file, f"{file} lies in the folder ", None, None)
        assert_told(unsafe, file, words, None, None)
    assert [line for line in told.out.splitlines() if "to the blocker's edge" in line] == clearances


def test_a_film_written_over_by_another_is_gone(folder, capsys):
    shutil.copy(folder / RED, folder / BLUE)
    code, unsafe, _ = check(folder, capsys)
    assert (code, len(unsafe)) == (1, 1)
    assert_told(unsafe, BLUE, f"{BLUE} holds the same as {RED}, and its own film is gone: put it back, or", None, None)


def test_a_film_that_took_anothers_name_is_still_itself(folder, capsys):
    (folder / RED).rename(folder / BLUE)
    code, unsafe, _ = check(folder, capsys)
    assert (code, len(unsafe)) == (1, 2)
    assert_told(unsafe, RED, f"under the name {BLUE}: name it {RED} again", None, None)
    assert_told(unsafe, BLUE, "not in the folder: put it back, or separate again", None, None)


def test_a_film_edited_and_renamed_may_be_known_to_the_user(folder, capsys):
    (folder / RED).rename(folder / "red.svg")
    draw(folder, "red.svg", "<!-- seen -->")
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, RED, "put it back, or name the film that stands for it so again, or separate", None, None)


def test_a_paper_written_over_by_the_other_is_unsafe(folder, capsys):
    shutil.copy(folder / PAPERS[0], folder / PAPERS[1])
    code, unsafe, told = check(folder, capsys)
    assert (code, len(unsafe)) == (1, 1) and "not in the folder" not in told.out
    assert_told(unsafe, PAPERS[1], f"holds the same as {PAPERS[0]}: delete it", None, None)


def test_what_is_named_like_a_film_and_cannot_be_read_is_one_too_many(folder, capsys):
    (folder / "odd.svg").mkdir()
    code, unsafe, _ = check(folder, capsys)
    assert (code, len(unsafe)) == (1, 1)
    assert_told(unsafe, "odd.svg", "not in the report, so it was not checked", None, None)


def test_the_blocker_deleted(folder, capsys):
    (folder / BLOCKER).unlink()
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, None, "no plate is the blocker", None, None)


def test_a_film_in_another_encoding_is_not_trusted(folder, capsys):
    text = (folder / RED).read_text()
    (folder / RED).write_bytes(text.replace('encoding="UTF-8"', 'encoding="UTF-16"').encode("utf-16"))
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, "red", "save it as plain UTF-8", None, None)


def test_films_swapped_and_saved_anew(folder, capsys):
    red, blocker = (folder / RED).read_text(), (folder / BLOCKER).read_text()
    (folder / RED).write_text(blocker + "<!-- seen -->")
    (folder / BLOCKER).write_text(red + "<!-- seen -->")
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    for plate in ("white", "yellow", "red", "blue"):
        assert_told(unsafe, plate, "past the blocker", None, None)


def change_report(folder, change):
    report = json.loads((folder / REPORT).read_text())
    change(report)
    (folder / REPORT).write_text(json.dumps(report))


def plates_swapped(report):
    plates = report["plates"]
    plates[0]["role"], plates[3]["role"] = plates[3]["role"], plates[0]["role"]


def zone_shrunk(report):
    """Were only the ink zone's shapes ink, a plate could be declared out of it."""
    film = report["film"]
    film["design_width_mm"] -= 30
    film["margin_x_mm"] += 15


HAND_EDITED = {
    "says safe, is not": (lambda report: report.update(safe=True), 1),
    "a plate dropped": (lambda report: report["plates"].pop(3), 1),
    "roles exchanged": (plates_swapped, 1),
    "two blockers": (lambda report: report["plates"][1].update(role="blocker"), 1),
    "order reversed": (lambda report: report["plates"].reverse(), 1),
    "page shrunk": (lambda report: report["film"].update(design_width_mm=50.0), 1),
    "no such role": (lambda report: report["plates"][1].update(role="base"), 2),
    "file elsewhere": (lambda report: report["plates"][1].update(file="../02-white.svg"), 2),
    "one film twice": (lambda report: report["plates"][3].update(file=WHITE), 2),
    "no settings": (lambda report: report.pop("settings"), 2),
    "tolerance is a word": (lambda report: report["settings"].update(registration_mm="little"), 2),
    "tolerance below nothing": (lambda report: report["settings"].update(registration_mm=-1), 2),
    "tolerance not a number": (lambda report: report["settings"].update(registration_mm=float("nan")), 2),
    "a film without a sum": (lambda report: report["files"].pop(RED), 2),
    "a sum that is none": (lambda report: report["files"].update({PAPERS[0]: "0"}), 2),
    "margin not a number": (lambda report: report["film"].update(ink_margin_mm=float("nan")), 2),
}


@pytest.mark.parametrize(("change", "expected"), HAND_EDITED.values(), ids=HAND_EDITED)
def test_a_report_edited_by_hand_makes_nothing_safe(folder, capsys, change, expected):
    if expected == 1:
        draw(folder, RED, '<circle cx="44" cy="3" r="0.2"/>')
    change_report(folder, change)
    code, unsafe, told = check(folder, capsys)
    assert code == expected
    assert unsafe if expected == 1 else REPORT in told.err


def test_a_zone_shrunk_in_the_report_hides_no_ink(folder, capsys):
    draw(folder, BLUE, '<rect x="58" y="3" width="4" height="2"/>')
    change_report(folder, zone_shrunk)
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, "blue", "", None, None)


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b"\xff\xfe", b"null", b'{"plates": 3}'])
def test_a_report_that_is_none_is_bad_input(folder, capsys, content):
    (folder / REPORT).write_bytes(content)
    assert check(folder, capsys)[0] == 2


def test_a_folder_without_a_report_is_bad_input(folder, capsys):
    (folder / REPORT).unlink()
    code, _, told = check(folder, capsys)
    assert code == 2 and "is not a folder of plates" in told.err


def save_anew(folder):
    """Harmless editing: names of its own, a style sheet with classes, groups and transforms that undo each other."""
    edit(folder, YELLOW, "<g ", '<g xmlns:x="urn:x" x:label="layer 1" transform="translate(3 4)"><g ')
    edit(folder, YELLOW, INK, f'{INK} class="k" transform="translate(-3,-4)"')
    edit(folder, YELLOW, "</g>", "</g></g><style>.k{fill:#000}</style>")


def test_a_film_saved_anew_by_a_drawing_program_stays_safe_without_the_papers_made_before(folder, capsys):
    save_anew(folder)
    for paper in PAPERS:
        (folder / paper).unlink()
    code, unsafe, told = check(folder, capsys)
    assert (code, unsafe) == (0, [])
    assert f"note: edited since the folder was written: {YELLOW}\n" in told.out


def test_papers_made_before_a_film_was_edited_are_stale(folder, capsys):
    save_anew(folder)
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert [line.split(":")[1].strip() for line in unsafe] == PAPERS
    for paper in PAPERS:
        assert_told(unsafe, paper, "as they were before they were edited", None, None)
        assert_told(unsafe, paper, "delete it and burn the films themselves, or separate again, without", None, None)


@pytest.mark.parametrize("paper", PAPERS)
def test_a_paper_changed_is_unsafe_and_the_other_is_not_blamed(folder, capsys, paper):
    content = (folder / paper).read_bytes()
    (folder / paper).write_bytes(content + b" ")
    code, unsafe, told = check(folder, capsys)
    assert (code, len(unsafe)) == (1, 1) and "edited since" not in told.out
    assert_told(unsafe, paper, "not as it was written", None, None)
    assert_told(unsafe, paper, "delete it and burn the films themselves, or make it again", None, None)
    (folder / paper).unlink()
    assert check(folder, capsys)[:2] == (0, []), "the remedy holds"


@pytest.mark.parametrize("edited", [False, True])
def test_a_paper_that_is_gone_is_a_note_whether_films_were_edited_or_not(folder, capsys, edited):
    """Nobody burns what is not there."""
    if edited:
        save_anew(folder)
    for paper in PAPERS:
        (folder / paper).unlink()
    code, unsafe, told = check(folder, capsys)
    assert (code, unsafe) == (0, [])
    for paper in PAPERS:
        assert f"note: {paper}: {paper} is listed in the report but not in the folder" in told.out


def test_every_edited_film_is_named(folder, capsys):
    for file in (RED, WHITE):
        edit(folder, file, "</svg>", "<!-- seen --></svg>")
    assert f"note: edited since the folder was written: {WHITE}, {RED}\n" in check(folder, capsys)[2].out


@pytest.mark.parametrize("stray", ["proofed.pdf", "films.PDF", "06-violet.pdf"])
def test_a_paper_too_many_is_unsafe(folder, capsys, stray):
    shutil.copy(folder / PAPERS[0], folder / stray)
    code, unsafe, _ = check(folder, capsys)
    assert (code, len(unsafe)) == (1, 1)
    assert_told(unsafe, stray, "not in the report", None, None)


@pytest.mark.parametrize(
    "stray", ["White.eps", "burn.PS", "films.ai", "mist.tif", "02-white.png", "separations-1.JPG", "02-White 600.bmp"]
)
def test_a_film_exported_beside_the_films_is_one_too_many(folder, capsys, stray):
    (folder / stray).write_bytes(b"%!PS-Adobe-3.0 EPSF-3.0")
    code, unsafe, _ = check(folder, capsys)
    assert (code, len(unsafe)) == (1, 1)
    assert_told(unsafe, stray, "not in the report, so it was not checked; move it away", None, None)


@pytest.mark.parametrize("beside", ["20261130.jpg", "garment.png", "notes.txt", "filmstrip.png", "art.xcf"])
def test_pictures_beside_the_films_that_are_named_like_none_do_no_harm(folder, capsys, beside):
    (folder / beside).write_bytes(b"of a test print")
    assert check(folder, capsys)[:2] == (0, [])


def test_a_paper_under_the_name_of_another_format_is_renamed(folder, capsys):
    (folder / PAPERS[0]).rename(folder / "films.ai")
    code, unsafe, _ = check(folder, capsys)
    assert (code, len(unsafe)) == (1, 1)
    assert_told(unsafe, PAPERS[0], "under the name films.ai: name it films.pdf again", None, None)


def test_a_paper_struck_from_the_report_is_one_too_many(folder, capsys):
    change_report(folder, lambda report: report["files"].pop(PAPERS[0]))
    code, unsafe, _ = check(folder, capsys)
    assert (code, len(unsafe)) == (1, 1)
    assert_told(unsafe, PAPERS[0], "not in the report", None, None)


def test_ink_that_was_made_white_is_told_to_be_made_black_again(folder, capsys):
    edit(folder, RED, '(<g[^>]*)fill="#000000"', r'\1fill="#ffffff"')
    draw(folder, RED, '<rect x="26" y="26" width="1" height="1" fill="#ffffff"/>')
    (line,) = [line for line in check(folder, capsys)[1] if "#ffffff" in line]
    assert "1 more are painted #ffffff, not solid black: remove them, and cut out what they cover, or make" in line
    assert line.endswith("make them #000000 if they are this film's own ink")


TOLERANCES = {
    # case: the job's press and distances, what both commands say
    "none": ("[press]\nregistration=0\n[colour]\nclearance=0.25\n[white]\nmin_choke=0.25", "unsafe"),
    "none, nor any clearance": ("[press]\nregistration=0", "unsafe"),
    "less than a press holds": ("[press]\nregistration=0.04", "unsafe"),
    "less than cut to": ("[press]\nregistration=0.1\n[colour]\nclearance=0.25\n[white]\nmin_choke=0.25", "warning"),
    "as usual": ("", None),
    "a clearance wider by choice": ("[colour]\nclearance=0.4", None),
}


@pytest.mark.parametrize(("job", "severity"), TOLERANCES.values(), ids=TOLERANCES)
def test_a_tolerance_that_tests_nothing_is_never_safe_and_a_low_one_is_warned_of(
    sound, tmp_path, capsys, job, severity
):
    (tmp_path / "job.toml").write_text(job)
    art, plates = str(sound.parent / "art.svg"), tmp_path / "plates"
    for command in (
        ["separate", art, "--job", str(tmp_path / "job.toml"), "--out", str(plates)],
        ["check", str(plates)],
    ):
        assert main(command) == (severity == "unsafe")
        said = re.findall(r"^(\w+): the plates are held to", capsys.readouterr().out, re.MULTILINE)
        assert said == ([severity] if severity else [])


def test_a_tolerance_given_by_hand_is_judged_alike(folder, capsys):
    assert check(folder, capsys, "--registration", "0")[0] == 1
    code, _, told = check(folder, capsys, "--registration", "0.1mm")
    assert code == 0
    assert "warning: the plates are held to" in told.out


def test_from_python_too_no_plates_are_safe_that_are_held_to_no_tolerance(sound):
    settings = vectorsep.Settings(registration_mm=0.0, clearance_mm=0.0, spread_mm=0.0)
    plates = vectorsep.make_plates(vectorsep.read_design(sound.parent / "art.svg"), settings)
    assert [f.code for f in vectorsep.check_stack(plates, settings) if f.severity == "unsafe"] == ["tolerance-none"]


# case: settings that somebody wrote into the report, those that are told, options of the check, exit code
CHANGED_SETTINGS = {
    "a lower tolerance": ({"registration_mm": 0.05}, ["registration_mm"], [], 1),
    "a higher tolerance": ({"registration_mm": 0.3}, ["registration_mm"], [], 1),
    "a tolerance given beside": ({"registration_mm": 0.05}, [], ["--registration", "0.25"], 0),
    "a clearance beside a given tolerance": (
        {"registration_mm": 0.05, "clearance_mm": 0.05},
        ["clearance_mm"],
        ["--registration", "0.25"],
        1,
    ),
    "another garment": ({"garment": {"fibre": "cotton", "dyeing": "undyed", "grade": None}}, ["garment"], [], 1),
    "a mesh of an ink": ({"inks": [{"hex": "#e02020", "name": "red", "mesh_per_inch": 90}]}, ["inks"], [], 1),
    "the same written otherwise": ({"turn_deg": 0, "detail_multiple": 1}, [], [], 0),
}


@pytest.mark.parametrize(("changes", "told_of", "options", "expected"), CHANGED_SETTINGS.values(), ids=CHANGED_SETTINGS)
def test_settings_written_into_the_report_are_not_believed(folder, capsys, changes, told_of, options, expected):
    change_report(folder, lambda report: report["settings"].update(changes))
    code, unsafe, _ = check(folder, capsys, *options)
    assert code == expected
    assert [line.split(": ")[1] for line in unsafe] == ([", ".join(told_of)] if told_of else [])
    told_to_give_another = ["give another tolerance with --registration" in line for line in unsafe]
    assert told_to_give_another == ["registration_mm" in told_of for _ in unsafe], "only where one was written in"


@pytest.mark.parametrize(
    ("changes", "told"), [({"spread_mm": 0.2}, "value is not"), ({"spread_mm": 0.2, "choke_mm": 0.2}, "values are not")]
)
def test_settings_are_told_in_their_number(folder, capsys, changes, told):
    change_report(folder, lambda report: report["settings"].update(changes))
    (line,) = check(folder, capsys)[1]
    assert f"the report's {told} what the plates were made with; restore" in line


def test_a_report_without_sums_of_its_settings_vouches_for_none(folder, capsys):
    change_report(folder, lambda report: report.pop("settings_sums"))
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, None, "registration_mm", None, None)


def struck_out(name, tables):
    """A change of the report: a setting taken out of some of its tables."""
    return lambda report: [report[table].pop(name) for table in tables]


@pytest.mark.parametrize(
    ("struck_from", "told"), [(("settings", "settings_sums"), 0), (("settings",), 0), (("settings_sums",), 1)]
)
def test_a_setting_that_came_after_a_report_was_written_has_its_usual_value(folder, capsys, struck_from, told):
    """Folders of an older version know none of it. Of a value that is struck out the sum still tells what it was."""

    change_report(folder, struck_out("detail_white_gap_mm", struck_from))
    code, unsafe, _ = check(folder, capsys)
    assert (code, len(unsafe)) == (told, told)


@pytest.mark.parametrize("name", ["turn_deg", "detail_line_mm", "spread_mm"])
def test_no_other_setting_may_be_struck_out(folder, capsys, name):
    change_report(folder, struck_out(name, ("settings", "settings_sums")))
    code, unsafe, _ = check(folder, capsys)
    assert code == 1
    assert_told(unsafe, None, name, None, None)


def test_a_setting_of_its_own_that_is_struck_out_is_told_by_its_sum(tmp_path, sound, capsys):
    (tmp_path / "job.toml").write_text('[detail]\nwhite_gap = "0.4 mm"\n')
    art, plates = str(sound.parent / "art.svg"), tmp_path / "finer"
    assert main(["separate", art, "--job", str(tmp_path / "job.toml"), "--out", str(plates), "--quiet"]) == 0
    change_report(plates, struck_out("detail_white_gap_mm", ("settings",)))
    assert check(plates, capsys)[0] == 1


def test_places_on_mirrored_films_are_those_of_the_design(sound, tmp_path, capsys):
    (tmp_path / "job.toml").write_text("[film]\nmirror = true\n")
    art, plates = str(sound.parent / "art.svg"), tmp_path / "mirrored"
    assert main(["separate", art, "--job", str(tmp_path / "job.toml"), "--out", str(plates), "--quiet"]) == 0
    assert check(plates, capsys)[:2] == (0, [])
    draw(plates, YELLOW, '<circle cx="16" cy="3" r="0.2"/>')  # 60 mm wide: 44 mm from the left, seen from the front
    code, unsafe, _ = check(plates, capsys)
    assert code == 1
    assert_told(unsafe, "yellow", "past the blocker", (44, 3), 0.2)


def test_all_findings_can_be_listed(folder, capsys):
    lines = "".join(f'<path d="M{8 + n} 8h.1v3h-.1z"/>' for n in range(8))
    edit(folder, RED, r'<path d="[^"]*"\s*/>', lines)
    short, whole = (check(folder, capsys, *options)[2].out for options in ((), ("--all",)))
    edited = len(re.findall("warning: red at .* less ink than was made", short))
    assert edited == 1 and short.count("warning: red at") == 3 + edited
    assert "    and 5 more of this kind on this plate: give --all to list them\n" in short
    assert whole.count("warning: red at") == 8 + edited
    assert "more of this kind" not in whole


def test_of_two_files_that_were_written_alike_the_one_that_stays_is_not_the_one_that_is_gone():
    state = Whereabouts(listed={"a.svg": "1", "b.svg": "1"}, found={"b.svg": "1"})
    assert (state.place_of("a.svg"), state.place_of("b.svg")) == (None, "b.svg")


@pytest.mark.parametrize("file", ["stacking-report.html", "proof.svg"])
def test_a_sheet_that_was_written_in_is_told_and_not_unsafe(folder, capsys, file):
    """Its numbers are what the crew prints by: 0.25 mm turned to 0.15 mm passed without a word."""
    path = folder / file
    path.write_text(path.read_text().replace("0.25", "0.15") + "\n")
    code, unsafe, told = check(folder, capsys)
    assert (code, unsafe) == (0, [])
    (line,) = (line for line in told.out.splitlines() if "not as it was written" in line)
    assert line.startswith(f"warning: {file} is not as it was written")


def test_a_sheet_that_is_gone_or_as_it_was_is_not_told(folder, capsys):
    (folder / "proof.svg").unlink()
    _, _, told = check(folder, capsys)
    assert "as it was written" not in told.out
