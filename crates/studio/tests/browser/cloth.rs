//! Photographs brought, measured, taken as cloth and laid; the value line; ramps; a quilt
//! out and in as one file.

use std::path::Path;

use serde_json::json;

use crate::driver::{Browser, Window};
use crate::running::{Folder, Running, cloth_png, demo};
use crate::{entered, shown, visit, words};

/// Puts a file into a file field, as the system's own dialogue does.
fn choose_file(browser: &mut Browser, window: &Window, selector: &str, file: &Path) {
    let root = browser.of(window, "DOM.getDocument", &json!({}));
    let asked = json!({ "nodeId": root["root"]["nodeId"], "selector": selector });
    let node = browser.of(window, "DOM.querySelector", &asked);
    let files = json!({ "nodeId": node["nodeId"], "files": [file] });
    browser.of(window, "DOM.setFileInputFiles", &files);
}

fn read_off(browser: &mut Browser, window: &Window, words: &str) {
    browser.until(
        window,
        &format!(
            "document.querySelector('#measured[data-read=yes]')?.textContent.includes({words:?})"
        ),
    );
}

/// Taps the photograph at these shares of its width and height.
fn tap(browser: &mut Browser, window: &Window, x: f64, y: f64) {
    let at = browser.eval(
        window,
        &format!(
            "(() => {{ const e = document.getElementById('mark-layer'); e.scrollIntoView({{ block: 'center' }}); \
             const r = e.getBoundingClientRect(); return [r.left + r.width * {x}, r.top + r.height * {y}]; }})()"
        ),
    );
    let number = |i: usize| at[i].as_f64().unwrap_or_default();
    browser.click_at(window, number(0), number(1));
}

#[test]
fn a_photograph_becomes_cloth_and_is_laid_and_taken_back() {
    let folder = Folder::new();
    let file = folder.0.join("rust_check.png");
    // A check that repeats every 60 pixels; a part for the taps at 60 pixels an inch.
    std::fs::write(&file, cloth_png(600, 420, 60)).expect("the picture");
    let studio = Running::with(Some(&demo("harbour-lights.toml")));
    let (mut browser, window) = entered(&studio, 1440, 900);
    let (b, w) = (&mut browser, &window);
    visit(b, w, &studio, "/quilt/2/cloth?look=photos");
    choose_file(b, w, "#bring-files", &file);
    read_off(b, w, "rust check");
    read_off(b, w, "not known yet");

    // The true size: two points 300 pixels apart are five inches.
    tap(b, w, 0.25, 0.5);
    b.until(
        w,
        "document.querySelectorAll('#mark-layer [data-point]').length === 1",
    );
    tap(b, w, 0.75, 0.5);
    b.until(
        w,
        "document.getElementById('photo-marks')?.elements.ruler.value.split(' ').length === 4",
    );
    b.write(w, "#mark-length", "5");
    b.click(w, "#photo-marks button.main");
    read_off(b, w, "high");
    let facts = words(b, w, "#measured .facts");
    assert!(facts.contains("10 in wide, 7 in high"), "{facts}");
    assert!(
        facts.contains("every 1 in across, every 1 in down"),
        "{facts}"
    );

    // A mark is chosen and moved by keys: the same distance from further left.
    b.eval(
        w,
        "document.querySelector('#mark-layer [data-point=\"0\"]').focus()",
    );
    let before = words(b, w, "#photo-marks input[name=ruler]");
    b.key(w, "ArrowLeft");
    b.until(
        w,
        "document.getElementById('photo-marks').elements.ruler.value.startsWith('149')",
    );
    assert!(before.is_empty());
    b.key(w, "ArrowRight");
    b.until(
        w,
        "document.getElementById('photo-marks').elements.ruler.value.startsWith('150')",
    );
    read_off(b, w, "10 in wide");

    b.write(w, "#take-name", "Rust check");
    b.write(w, "#take-direction", "two");
    b.click(w, "form[data-deed='take-cloth'] button.main");
    shown(b, w, 1);
    let plan = studio.get("/quilt/2/plan.toml");
    for line in [
        "name = \"Rust check\"",
        "photo = \"photos/1.png\"",
        "shows = \"10",
    ] {
        assert!(plan.contains(line), "no {line} in {plan}");
    }
    let undo = words(b, w, "#undo");
    assert!(
        undo.contains("Take Rust check from its photograph"),
        "{undo}"
    );

    // Laid, it is drawn from the photograph: both its colours, and never their mean.
    let number = plan.matches("[cloth.").count() - 1;
    visit(b, w, &studio, "/quilt/2/cloth?chosen=p3");
    b.write(w, "#lay-cloth", &number.to_string());
    b.click(w, "form[data-deed='lay'] button.main");
    shown(b, w, 2);
    b.until(w, "document.documentElement.dataset.photographs === '1'");
    let near = "((r, g, b) => { const c = document.getElementById('quilt'); \
                const d = c.getContext('2d').getImageData(0, 0, c.width, c.height).data; let n = 0; \
                for (let i = 0; i < d.length; i += 4) if (Math.abs(d[i] - r) + Math.abs(d[i + 1] - g) + Math.abs(d[i + 2] - b) < 20) n += 1; return n; })";
    let count = |b: &mut Browser, rgb: &str| {
        b.eval(w, &format!("{near}({rgb})"))
            .as_u64()
            .unwrap_or_default()
    };
    let (dark, pale) = (count(b, "166, 58, 42"), count(b, "224, 194, 158"));
    assert!(
        dark > 200 && pale > 200,
        "{dark} dark and {pale} pale pixels"
    );

    b.click(w, "#undo");
    shown(b, w, 3);
    b.click(w, "#undo");
    shown(b, w, 4);
    assert!(!studio.get("/quilt/2/plan.toml").contains("photos/1.png"));
}

#[test]
fn a_photograph_is_dropped_cut_out_and_put_away() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 820, 1180);
    let (b, w) = (&mut browser, &window);
    visit(b, w, &studio, "/quilt/1/cloth?look=photos");
    // A drawing in between is refused in words; the others come in.
    let drop = "(async () => { \
        const made = async (name) => { const c = new OffscreenCanvas(400, 300); const p = c.getContext('2d'); \
          p.fillStyle = '#204060'; p.fillRect(0, 0, 400, 300); p.fillStyle = '#d0d8e0'; \
          for (let x = 0; x < 400; x += 20) p.fillRect(x, 0, 10, 300); \
          return new File([await c.convertToBlob({ type: 'image/png' })], name, { type: 'image/png' }); }; \
        const all = new DataTransfer(); all.items.add(await made('sea stripe.png')); \
        all.items.add(new File(['<svg/>'], 'drawing.svg')); all.items.add(await made('second.png')); \
        document.getElementById('sheet').dispatchEvent(new DragEvent('drop', { dataTransfer: all, bubbles: true, cancelable: true })); })()";
    b.eval(w, drop);
    b.until(w, "document.querySelectorAll('.photos li').length === 2");
    let refused = words(b, w, ".bringing");
    assert!(
        refused.contains("“drawing”") && refused.contains("no picture"),
        "{refused}"
    );
    b.click(w, ".photos li:first-child a");
    read_off(b, w, "sea stripe");

    // Only a part of it is cloth: what is taken is that part alone.
    b.click(w, "[data-mark='part']");
    tap(b, w, 0.9, 0.9);
    tap(b, w, 0.1, 0.1);
    b.until(
        w,
        "document.getElementById('photo-marks')?.elements.part.value.split(' ').length === 4",
    );
    read_off(b, w, "sea stripe");
    b.click(w, "form[data-deed='take-cloth'] button.main");
    shown(b, w, 1);
    let plan = studio.get("/quilt/1/plan.toml");
    assert!(plan.contains("photo = \"photos/3.png\""), "{plan}");
    let cut = photo::read(&studio.file("/quilt/1/photo/3")).expect("the cut-out");
    assert_eq!((cut.width, cut.height), (320, 240));

    b.click(w, "#photo-away button");
    b.until(w, "document.querySelectorAll('.photos li').length === 1");
    assert!(studio.file("/quilt/1/photo/1").starts_with(b"\x89PNG"));
}

#[test]
fn a_break_is_moved_by_keys_and_by_pulling() {
    let studio = Running::with(Some(&demo("orchard-at-dusk.toml")));
    let (mut browser, window) = entered(&studio, 1440, 900);
    let (b, w) = (&mut browser, &window);
    visit(b, w, &studio, "/quilt/2/cloth?look=values");
    let at = |b: &mut Browser| {
        let at = b.eval(w, "document.querySelector('[data-break=\"0\"]').dataset.at");
        at.as_str()
            .and_then(|at| at.parse::<i64>().ok())
            .expect("a break")
    };
    let before = at(b);
    b.eval(w, "document.getElementById('break-0-darker').focus()");
    b.key(w, "Enter");
    shown(b, w, 1);
    assert_eq!(at(b), before + 1);
    assert!(words(b, w, ".sorted").contains("your word"));
    let undo = words(b, w, "#undo");
    assert!(
        undo.contains("Pull the break between light and medium"),
        "{undo}"
    );
    // One gesture, whatever it moved.
    b.click(w, "#undo");
    shown(b, w, 2);
    assert_eq!(at(b), before);

    let (x, y) = b.middle(w, "[data-break='0'] circle");
    for (kind, far) in [
        ("mousePressed", 0.0),
        ("mouseMoved", -60.0),
        ("mouseMoved", -120.0),
        ("mouseReleased", -120.0),
    ] {
        let event =
            json!({ "type": kind, "x": x + far, "y": y, "button": "left", "clickCount": 1 });
        b.of(w, "Input.dispatchMouseEvent", &event);
    }
    shown(b, w, 3);
    assert!(at(b) < before, "{} is not before {before}", at(b));
    for (sort, first) in [("hue", "sort-hue"), ("family", "sort-family")] {
        b.click(w, &format!("#{first}"));
        b.until(
            w,
            &format!("document.querySelector('#{first}').getAttribute('aria-current') === 'true'"),
        );
        assert!(!words(b, w, ".sorted").is_empty(), "{sort}");
    }
}

#[test]
fn a_ramp_is_begun_and_laid_as_one_gesture() {
    let studio = Running::with(Some(&demo("harbour-lights.toml")));
    let (mut browser, window) = entered(&studio, 1440, 900);
    let (b, w) = (&mut browser, &window);
    visit(b, w, &studio, "/quilt/2/cloth?look=ramps");
    let had = b.eval(w, "document.querySelectorAll('section.ramp').length");
    let had = had.as_u64().unwrap_or_default();
    b.click(w, "form[data-deed='ramp'] button.main");
    shown(b, w, 1);
    b.until(
        w,
        &format!(
            "document.querySelectorAll('section.ramp').length === {}",
            had + 1
        ),
    );
    let last = words(b, w, &format!("section.ramp:nth-of-type({})", had + 1));
    assert!(
        last.contains("The run is") && last.contains("Round 1"),
        "{last}"
    );
    let plan = studio.get("/quilt/2/plan.toml");
    b.click(w, &format!("#lay-ramp-{had}"));
    shown(b, w, 2);
    let undo = words(b, w, "#undo");
    assert!(undo.contains("Lay the ramp"), "{undo}");
    assert_ne!(studio.get("/quilt/2/plan.toml"), plan);
    b.click(w, "#undo");
    shown(b, w, 3);
    assert_eq!(studio.get("/quilt/2/plan.toml"), plan);
}

#[test]
fn a_quilt_goes_out_and_comes_in_as_one_file() {
    let folder = Folder::new();
    let studio = Running::start();
    let png = cloth_png(300, 200, 40);
    assert_eq!(
        studio
            .bring("/quilt/1/photo?kind=cloth&name=check.png", &png)
            .0,
        200
    );
    let take = "{\"do\":\"take-cloth\",\"turned\":0,\"photo\":1,\"name\":\"Check\",\"direction\":\"free\",\"print\":\"plaid\",\"as\":\"\"}";
    let (status, answer) = studio.post("/quilt/1/do", take);
    assert_eq!(status, 200, "{answer}");
    let file = folder.0.join("harbour.quilt.zip");
    std::fs::write(&file, studio.file("/quilt/1/quilt.zip")).expect("the file");

    let (mut browser, window) = entered(&studio, 1440, 900);
    let (b, w) = (&mut browser, &window);
    visit(b, w, &studio, "/");
    choose_file(b, w, "#plan-file", &file);
    b.click(w, "form[data-deed='open'] button");
    b.until(w, "location.pathname === '/quilt/2/block' && document.documentElement.dataset.ready === 'yes'");
    assert_eq!(
        studio.get("/quilt/2/plan.toml"),
        studio.get("/quilt/1/plan.toml")
    );
    assert_eq!(
        studio.file("/quilt/2/photo/1"),
        studio.file("/quilt/1/photo/1")
    );
    assert_eq!(
        photo::read(&studio.file("/quilt/2/photo/1")),
        photo::read(&png)
    );

    // Another from it, with its photographs.
    visit(b, w, &studio, "/");
    b.click(w, "form[data-deed='copy'] button");
    b.until(w, "location.pathname === '/quilt/3/block' && document.documentElement.dataset.ready === 'yes'");
    assert!(words(b, w, "#title").contains(", another"));
    assert_eq!(
        studio.file("/quilt/3/photo/1"),
        studio.file("/quilt/1/photo/1")
    );
}
