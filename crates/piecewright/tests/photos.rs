//! Photographs at the command line: measured, refused in words, painted with.

#![allow(clippy::unwrap_used, reason = "a test that panics has failed")]

mod support;

use std::fs;
use std::path::Path;

use serde_json::Value;

use support::{folder, piecewright, text};

/// Stripes of two inches, forty pixels an inch, with a grey card in the corner.
fn stripes(file: &Path) -> String {
    let (width, height) = (600, 480);
    let mut rgb = Vec::new();
    for y in 0..height {
        for x in 0..width {
            let card = x < 100 && y < 80;
            rgb.extend(match (card, x % 80 < 32) {
                (true, _) => [118, 118, 118],
                (false, true) => [40, 60, 120],
                (false, false) => [225, 220, 205],
            });
        }
    }
    let png = photo::cut_true::png(width, height, &rgb).unwrap();
    fs::write(file, png).unwrap();
    file.to_str().unwrap().to_owned()
}

#[test]
fn a_photograph_is_measured() {
    let place = folder("photos-measured");
    let file = stripes(&place.join("stripes.png"));
    let said = [
        "--crop",
        "0,80,600,400",
        "--wide",
        "15 in",
        "--grey",
        "10,10,80,60",
    ];
    let mut line = vec!["cloth", &file];
    line.extend(said);
    let out = piecewright(&line);
    assert!(out.status.success(), "{}", text(&out.stderr));
    let told = text(&out.stdout);
    for word in [
        "print      stripe",
        "scale      2 in",
        "2 in across",
        "two-way",
        "L* ",
    ] {
        assert!(told.contains(word), "{word} is not in\n{told}");
    }
    assert!(!told.contains("relative"), "{told}");
    for line in [
        "print = \"stripe\"",
        "scale = \"2 in\"",
        "direction = \"two-way\"",
        "second = \"#",
        "measured = { lab = [",
    ] {
        assert!(told.contains(line), "{line} is not in\n{told}");
    }
    // What is printed for a plan reads in a plan.
    let (_, fields) = told.split_once("In a plan:\n").unwrap();
    let fields: Vec<&str> = fields.lines().take_while(|l| l.contains(" = ")).collect();
    let plan = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/harbour-lights.toml");
    let whole = fs::read_to_string(plan).unwrap();
    let (before, after) = whole.split_once("[cloth.foam]\n").unwrap();
    let (_, rest) = after.split_once("\n\n").unwrap();
    let changed = format!(
        "{before}[cloth.foam]\nname = \"Foam\"\n{}\n\n{rest}",
        fields.join("\n")
    );
    let with = place.join("with-photo.toml");
    fs::write(&with, changed).unwrap();
    let out = piecewright(&["check", with.to_str().unwrap()]);
    assert!(out.status.success(), "{}", text(&out.stderr));
    line.push("--json");
    let out = piecewright(&line);
    let found: Value = serde_json::from_slice(&out.stdout).unwrap();
    let one = &found["photos"][0];
    assert_eq!(one["print"], "stripe");
    assert_eq!(one["direction"], "two-way");
    assert!((one["scale"].as_f64().unwrap() - 2.0).abs() < 0.04);
    assert!((one["pixels_per_inch"].as_f64().unwrap() - 40.0).abs() < 1e-9);
    assert_eq!(one["value"]["absolute"], true);
    let shares = one["colours"].as_array().unwrap();
    assert_eq!(shares.len(), 2, "{shares:?}");
    // Without a card and a size, both are said.
    let told = text(&piecewright(&["cloth", &file]).stdout);
    assert!(
        told.contains("(relative)") && told.contains("pixels"),
        "{told}"
    );
}

#[test]
fn what_cannot_be_read_is_told() {
    let folder = folder("photos-refused");
    let file = stripes(&folder.join("stripes.png"));
    let torn = folder.join("torn.png");
    let whole = fs::read(&file).unwrap();
    fs::write(&torn, &whole[..whole.len() / 2]).unwrap();
    let torn = torn.to_str().unwrap();
    let table: [(&[&str], i32, &str); 8] = [
        (&["cloth", torn], 1, "ends before the picture does"),
        (&["cloth", "nowhere.png"], 3, "could not be read"),
        (&["cloth", &file, "--crop", "1,2,3"], 2, "takes 4 numbers"),
        (
            &["cloth", &file, "--crop", "0,0,9000,20"],
            1,
            "outside the picture",
        ),
        (&["cloth", &file, "--wide", "some"], 2, "takes a length"),
        (
            &["cloth", &file, "--wide", "10 in", "--coin", "1,1,1,1,1 in"],
            2,
            "cannot be used",
        ),
        (
            &["cloth", &file, &file, "--swatch", "x.png"],
            2,
            "one picture",
        ),
        (&["cloth"], 2, "required"),
    ];
    for (line, code, words) in table {
        let out = piecewright(line);
        let told = text(&out.stderr);
        assert_eq!(out.status.code(), Some(code), "{line:?}: {told}");
        assert!(told.contains(words), "{line:?}: {told}");
    }
}

#[test]
fn a_top_is_painted_cut_true() {
    let folder = folder("photos-cut-true");
    let file = stripes(&folder.join("stripes.png"));
    let swatch = folder.join("cloth.png").to_str().unwrap().to_owned();
    let out = piecewright(&[
        "cloth",
        &file,
        "--crop",
        "0,80,600,400",
        "--grey",
        "10,10,80,60",
        "--swatch",
        &swatch,
    ]);
    assert!(out.status.success(), "{}", text(&out.stderr));
    let plan = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/harbour-lights.toml");
    let plan = plan.to_str().unwrap();
    let top = |name: &str, pixels: &str| {
        let file = folder.join(name);
        let photo = format!("foam={swatch}=15 in");
        let out = piecewright(&[
            "picture",
            plan,
            "--cut-true",
            "--photo",
            &photo,
            "--pixels",
            pixels,
            "-o",
            file.to_str().unwrap(),
        ]);
        assert!(out.status.success(), "{}", text(&out.stderr));
        (fs::read(&file).unwrap(), text(&out.stdout))
    };
    let (bytes, told) = top("top.png", "720");
    assert!(
        told.contains("cut true") && told.contains("Without a photograph"),
        "{told}"
    );
    let seen = photo::read(&bytes).unwrap();
    assert_eq!((seen.width, seen.height), (720, 720));
    assert_eq!(bytes, top("again.png", "720").0);
    let dark = |photo: &photo::Photo| {
        photo
            .rgb
            .chunks_exact(3)
            .filter(|p| p[0] < 80 && p[2] > 90 && p[2] < 160)
            .count()
    };
    assert!(
        dark(&seen) > 1000,
        "the stripes of the photograph are to be seen"
    );

    // Named in the plan, with what it shows, it need not be named again.
    let own = folder.join("own.toml");
    let whole = fs::read_to_string(plan).unwrap();
    let own_text = whole.replace(
        "[cloth.foam]\n",
        "[cloth.foam]\nphoto = \"cloth.png\"\nshows = \"15 in\"\n",
    );
    fs::write(&own, own_text).unwrap();
    let painted = folder.join("own.png");
    let out = piecewright(&[
        "picture",
        own.to_str().unwrap(),
        "--cut-true",
        "--pixels",
        "720",
        "-o",
        painted.to_str().unwrap(),
    ]);
    assert!(out.status.success(), "{}", text(&out.stderr));
    assert_eq!(fs::read(&painted).unwrap(), bytes);

    let drawn = folder.join("top.svg");
    let out = piecewright(&["picture", plan, "-o", drawn.to_str().unwrap()]);
    assert!(out.status.success(), "{}", text(&out.stderr));
    assert!(fs::read_to_string(drawn).unwrap().starts_with("<svg"));
    let unknown = piecewright(&[
        "picture",
        plan,
        "--cut-true",
        "--photo",
        "mud=x.png=3 in",
        "-o",
        "x.png",
    ]);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(
        text(&unknown.stderr).contains("foam"),
        "{}",
        text(&unknown.stderr)
    );
}
