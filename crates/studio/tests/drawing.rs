//! Drawings and photographs of strangers on the Block screen: what is refused, and that
//! nothing they name is ever looked up.

mod running;

use running::{Running, cloth_png};
use serde_json::json;

fn begun() -> Running {
    let studio = Running::start();
    let begin = json!({ "do": "begin", "title": "Drawn", "measure": "inch", "across": "4" });
    assert_eq!(studio.post("/shelf", &begin.to_string()).0, 200);
    studio
}

fn open(studio: &Running, turned: u32, text: &str) -> (u16, String) {
    let ask = json!({ "do": "drawing", "block": "0", "text": text, "turned": turned });
    studio.post("/quilt/2/do", &ask.to_string())
}

#[test]
fn drawings_that_are_not_plain_are_refused_and_change_nothing() {
    let studio = begun();
    let before = studio.get("/quilt/2/plan.toml");
    let svg = |inside: &str| format!("<svg xmlns='http://www.w3.org/2000/svg'>{inside}</svg>");
    let deep = format!("{}<line x2='3'/>{}", "<g>".repeat(80), "</g>".repeat(80));
    let many: String = (0..500)
        .map(|i| format!("<line x1='{i}' x2='{i}' y2='{}'/>", 600 - i))
        .collect();
    let parts = "<g/>".repeat(21_000);
    let bomb = "<!DOCTYPE svg [<!ENTITY a 'aaaaaaaaaa'><!ENTITY b '&a;&a;&a;&a;&a;&a;&a;&a;'>]>";
    for (what, text, says) in [
        (
            "packed",
            "\u{1f}\u{fffd}\u{8}".to_owned(),
            "packed together",
        ),
        (
            "entities",
            format!("{bomb}{}", svg("<text>&b;</text>")),
            "document type",
        ),
        (
            "an entity of a file",
            format!(
                "<!DOCTYPE svg [<!ENTITY x SYSTEM 'file:///etc/hostname'>]>{}",
                svg("&x;")
            ),
            "document type",
        ),
        (
            "another kind of file",
            "<html><body/></html>".to_owned(),
            "no SVG drawing",
        ),
        (
            "half a file",
            "<svg><line x2='3'".to_owned(),
            "no whole SVG drawing",
        ),
        ("nothing", String::new(), "no whole SVG drawing"),
        ("too many parts", svg(&parts), "parts"),
        ("too many lines", svg(&many), "lines; the most is 400"),
        ("too deep", svg(&deep), "too deep"),
        ("no lines", svg("<circle r='3'/>"), "no straight lines"),
        ("one line", svg("<line x2='3'/>"), "no straight lines"),
        (
            "no numbers",
            svg("<polygon points='a b c d e f'/>"),
            "no straight lines",
        ),
        (
            "beyond all numbers",
            svg("<path d='M0 0L1e999 3V9e400'/>"),
            "no straight lines",
        ),
        ("large", svg(&" ".repeat(201_000)), "200 kB"),
    ] {
        let (status, answer) = open(&studio, 0, &text);
        assert_eq!(status, 422, "{what}: {answer}");
        assert!(answer.contains(says), "{what}: {answer}");
    }
    let (status, _) = open(&studio, 0, &svg(&" ".repeat(300_000)));
    assert_eq!(status, 413, "beyond a gesture");
    assert_eq!(studio.get("/quilt/2/plan.toml"), before);
}

#[test]
fn what_a_drawing_names_is_not_looked_up() {
    let studio = begun();
    let folder = studio.folder.clone();
    // Were it read, it would draw a diagonal.
    let inner = "<svg xmlns='http://www.w3.org/2000/svg'><line id='l' x2='80' y2='80'/></svg>";
    let file = folder.join("inner.svg");
    std::fs::write(&file, inner).expect("a drawing on the disk");
    let there = format!("file://{}", file.display());
    // And a listener that nobody is to call.
    let door = std::net::TcpListener::bind(("127.0.0.1", 0)).expect("a port");
    door.set_nonblocking(true).expect("not waiting");
    let net = format!("http://{}/l.svg", door.local_addr().expect("an address"));
    let text = format!(
        "<?xml version='1.0'?><?xml-stylesheet href='{net}'?>\
         <svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' xmlns:xi='http://www.w3.org/2001/XInclude'>\
         <style>@import url({net});</style><script href='{net}'/>\
         <image href='{there}' width='80' height='80'/><image xlink:href='{net}' width='80' height='80'/>\
         <use href='{there}#l'/><xi:include href='{there}'/><foreignObject><iframe src='{there}'/></foreignObject>\
         <rect width='80' height='80' style='fill:url({net}#x)'/><line x1='40' x2='40' y2='80'/></svg>"
    );
    let (status, answer) = open(&studio, 0, &text);
    assert_eq!(status, 200, "{answer}");
    assert!(answer.contains("1 of 1 lines"), "{answer}");
    let plan = studio.get("/quilt/2/plan.toml");
    assert_eq!(plan.matches("lines").count(), 1, "{plan}");
    let called = door.accept();
    assert!(called.is_err(), "somebody called");
    // One gesture: one step back is the plain square.
    let back = json!({ "step": 1, "turned": 1 });
    assert_eq!(studio.post("/quilt/2/go", &back.to_string()).0, 200);
    assert!(!studio.get("/quilt/2/plan.toml").contains("[[block.lines"));
}

#[test]
fn a_photograph_beneath_a_block_is_kept_and_squared_within_its_bounds() {
    let studio = begun();
    let png = cloth_png(120, 90, 12);
    let (status, answer) = studio.bring("/quilt/2/photo?kind=tracing&name=block.png", &png);
    assert_eq!(status, 200, "{answer}");
    let plan = studio.get("/quilt/2/plan.toml");
    let ask = |fields: serde_json::Value| studio.post("/quilt/2/tracing", &fields.to_string());
    for (fields, wanted) in [
        (
            json!({ "do": "corners", "block": "0", "corners": "0 0 9 0 9 9 0 9" }),
            422,
        ),
        (json!({ "do": "lay", "block": "0", "photo": "7" }), 422),
        (json!({ "do": "lay", "block": "9", "photo": "1" }), 422),
        (json!({ "do": "lay", "block": "0", "photo": "1" }), 200),
        // Crossed, beyond the picture, not eight.
        (
            json!({ "do": "corners", "block": "0", "corners": "0 0 9000 9000 9000 0 0 9000" }),
            422,
        ),
        (
            json!({ "do": "corners", "block": "0", "corners": "0 0 10001 0 9000 9000 0 9000" }),
            422,
        ),
        (
            json!({ "do": "corners", "block": "0", "corners": "0 0" }),
            422,
        ),
        (
            json!({ "do": "corners", "block": "0", "corners": "100 0 9000 0 9900 9900 0 9000" }),
            200,
        ),
        (
            json!({ "do": "strength", "block": "0", "strength": "45" }),
            200,
        ),
        (json!({ "do": "what", "block": "0" }), 404),
    ] {
        let (status, answer) = ask(fields.clone());
        assert_eq!(status, wanted, "{fields}: {answer}");
    }
    let squared = studio.file("/quilt/2/traced/0");
    assert!(squared.starts_with(b"\x89PNG") || squared.starts_with(b"\xff\xd8"));
    assert!(
        studio
            .get("/quilt/2/block")
            .contains("data-strength=\"45\"")
    );
    assert_eq!(
        studio.get("/quilt/2/plan.toml"),
        plan,
        "it is no part of the plan"
    );
    let (status, _) = ask(json!({ "do": "away", "block": "0" }));
    assert_eq!(status, 200);
    assert!(!studio.get("/quilt/2/block").contains("id=\"beneath\""));
}
