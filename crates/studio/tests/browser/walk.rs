//! The job, walked as a maker would.

use crate::driver::{Browser, Window};
use crate::running::{Folder, Running, demo};
use crate::{entered, in_picture, shown, visit, words};

#[test]
fn a_first_visit_changes_something_and_takes_it_back() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    // A finished quilt is on the shelf.
    let titles = words(&mut browser, &window, ".quilts");
    assert!(titles.contains("Harbour Lights"), "{titles}");
    visit(&mut browser, &window, &studio, "/quilt/1/setting");
    let before = studio.get("/quilt/1/plan.toml");
    // A patch of the first block.
    let (x, y) = in_picture(&mut browser, &window, 0.12, 0.12);
    browser.click_at(&window, x, y);
    browser.until(&window, "document.querySelector('#card .turning') !== null");
    // How far the deed goes is said in numbers before it is done.
    let reach = words(&mut browser, &window, "#card .turning .reaches");
    assert!(reach.contains("1 block this block"), "{reach}");
    assert!(reach.contains("36 blocks"), "{reach}");
    browser.click(&window, "#card .turning button[value='1']");
    shown(&mut browser, &window, 1);
    let undo = words(&mut browser, &window, "#undo");
    assert!(
        undo.contains("Undo: Turn the block in row 1, block 1 to the right"),
        "{undo}"
    );
    assert_ne!(studio.get("/quilt/1/plan.toml"), before);
    browser.click(&window, "#undo");
    shown(&mut browser, &window, 2);
    assert_eq!(studio.get("/quilt/1/plan.toml"), before);
    // Every request went to the program.
    let hosts = browser.eval(
        &window,
        "[...new Set(performance.getEntriesByType('resource').map((e) => new URL(e.name).host))]",
    );
    assert_eq!(
        hosts,
        serde_json::json!([format!("127.0.0.1:{}", studio.port)])
    );
}

#[test]
fn a_turned_block_painted_alone_is_the_picture_painted_whole() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    visit(&mut browser, &window, &studio, "/quilt/1/setting?chosen=b8");
    let pixels = "(() => { const c = document.getElementById('quilt'); return c.getContext('2d').getImageData(0, 0, c.width, c.height).data; })()";
    browser.eval(&window, &format!("window.before = {pixels}; 0"));
    browser.click(&window, "#card .turning button[value='1']");
    shown(&mut browser, &window, 1);
    browser.eval(&window, &format!("window.alone = {pixels}; 0"));
    browser.click(&window, "[data-zoom='whole']");
    browser.eval(&window, &format!("window.whole = {pixels}; 0"));
    let apart = |browser: &mut Browser, one: &str, other: &str| {
        let script = format!(
            "(() => {{ let n = 0; for (let i = 0; i < {one}.length; i += 4) \
             if (Math.abs({one}[i] - {other}[i]) + Math.abs({one}[i + 1] - {other}[i + 1]) + Math.abs({one}[i + 2] - {other}[i + 2]) > 90) n += 1; return n; }})()"
        );
        browser.eval(&window, &script).as_u64().unwrap_or(u64::MAX)
    };
    let moved = apart(&mut browser, "window.before", "window.whole");
    let left = apart(&mut browser, "window.alone", "window.whole");
    assert!(moved > 1000, "the turn shows: {moved} pixels");
    assert!(left * 50 < moved, "{left} of {moved} pixels are left over");
}

#[test]
fn undo_and_redo_outlive_the_program() {
    let folder = Folder::new();
    let first = Running::on(folder, Some(&demo("saltmarsh.toml")));
    let ask = |turned: u32, rows: u32| {
        format!("{{\"do\":\"count\",\"rows\":\"{rows}\",\"columns\":\"3\",\"turned\":{turned}}}")
    };
    let kept = |studio: &Running| studio.get("/quilt/2/plan.toml");
    let mut plans = vec![kept(&first)];
    for (turned, rows) in [(0, 7), (1, 8)] {
        assert_eq!(first.post("/quilt/2/do", &ask(turned, rows)).0, 200);
        plans.push(kept(&first));
    }
    // Another program on the same shelf, as after a restart.
    let second = studio::Studio::open(&first.folder.join("shelf"), None).expect("it opens again");
    let (port, key) = crate::running::parts(&second.address());
    std::thread::spawn(move || second.run());
    let mut browser = Browser::start();
    let window = browser.window(1440, 900);
    browser.go(
        &window,
        &format!("http://127.0.0.1:{port}/open?key={key}&quilt=2"),
    );
    for (turned, button, wanted) in [
        (3, "undo", 1),
        (4, "undo", 0),
        (5, "redo", 1),
        (6, "redo", 2),
    ] {
        browser.click(&window, &format!("#{button}"));
        shown(&mut browser, &window, turned);
        assert_eq!(kept(&first), plans[wanted], "after {button} {turned}");
    }
}

#[test]
fn two_windows_stay_in_step() {
    let studio = Running::start();
    let (mut browser, one) = entered(&studio, 1440, 900);
    visit(&mut browser, &one, &studio, "/quilt/1/setting");
    let two = browser.window(1440, 900);
    visit(&mut browser, &two, &studio, "/quilt/1/setting");
    browser.click(&one, "button[aria-label='Blocks down: 6: one more']");
    shown(&mut browser, &one, 1);
    shown(&mut browser, &two, 1);
    let (first, second) = (
        words(&mut browser, &one, "#sheet .facts"),
        words(&mut browser, &two, "#sheet .facts"),
    );
    assert_eq!(first, second);
    assert!(first.contains("72 × 82 in"), "{first}");
    // And the other way.
    browser.click(&two, "#undo");
    shown(&mut browser, &two, 2);
    // A window that lay under others catches up when it is looked at.
    browser.of(&one, "Page.bringToFront", &serde_json::json!({}));
    shown(&mut browser, &one, 2);
    let back = words(&mut browser, &one, "#sheet .facts");
    assert!(back.contains("72 × 72 in"), "{back}");
}

fn dot(browser: &mut Browser, window: &Window, number: usize) -> (f64, f64) {
    browser.middle(window, &format!("#board [data-dot='{number}']"))
}

/// The number of a dot of the divided square, four by four.
fn at(across: usize, down: usize) -> usize {
    down * 5 + across
}

#[test]
fn from_a_plain_square_to_the_booklet() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    browser.write(&window, "#begin-title", "Test of the Tide");
    browser.click(&window, "form[data-deed='begin'] button");
    browser.until(&window, "location.pathname === '/quilt/2/block' && document.documentElement.dataset.ready === 'yes'");
    // One seam by two taps, corner to middle of a side; one by dragging.
    for (across, down) in [(0, 0), (2, 2)] {
        let (x, y) = dot(&mut browser, &window, at(across, down));
        browser.click_at(&window, x, y);
    }
    shown(&mut browser, &window, 1);
    let verdict = words(&mut browser, &window, "#verdict");
    assert!(verdict.contains("stops in the open"), "{verdict}");
    drag(&mut browser, &window, at(0, 2), at(2, 2));
    shown(&mut browser, &window, 2);
    // A whole block by one gesture.
    browser.eval(
        &window,
        "document.querySelectorAll('#sheet details').forEach((d) => { d.open = true; })",
    );
    browser.click(&window, "form:has(input[value='turn']) button");
    shown(&mut browser, &window, 3);
    let verdict = words(&mut browser, &window, "#verdict");
    assert!(verdict.contains("Yes, in straight seams"), "{verdict}");
    assert!(verdict.contains("8 patches"), "{verdict}");
    // Undo and redo in the middle of a drawing.
    browser.click(&window, "#undo");
    shown(&mut browser, &window, 4);
    browser.click(&window, "#redo");
    shown(&mut browser, &window, 5);
    // Every other patch to a place of its own.
    let mut turned = 5;
    for (index, piece) in [0, 2, 5, 7].into_iter().enumerate() {
        visit(
            &mut browser,
            &window,
            &studio,
            &format!("/quilt/2/block?block=0&piece={piece}"),
        );
        if index == 0 {
            browser.write(&window, "#new-place", "blade");
            browser.click(&window, "form:has(#new-place) button");
        } else {
            browser.click(&window, "form:has(input[name=place][value='1']) button");
        }
        turned += 1;
        shown(&mut browser, &window, turned);
    }
    // Cloth on it, as far as every block like it.
    visit(&mut browser, &window, &studio, "/quilt/2/cloth?chosen=p0");
    let reach = words(&mut browser, &window, "#card .reaches");
    assert!(reach.contains("64 patches"), "{reach}");
    browser.write(&window, "#lay-cloth", "3");
    browser.click(&window, "form[data-deed='lay'] button.main");
    turned += 1;
    shown(&mut browser, &window, turned);
    let undo = words(&mut browser, &window, "#undo");
    assert!(undo.contains("Lay Dark on “blade”"), "{undo}");
    // A setting from the wall.
    visit(
        &mut browser,
        &window,
        &studio,
        "/quilt/2/setting?wall=open&ask=calm",
    );
    browser.click(&window, "#wall li button:not([disabled])");
    turned += 1;
    shown(&mut browser, &window, turned);
    // Ticks are kept.
    for (screen, list) in [("cutting", "cut"), ("sewing", "sew")] {
        visit(
            &mut browser,
            &window,
            &studio,
            &format!("/quilt/2/{screen}"),
        );
        let before = words(&mut browser, &window, "#card h2");
        browser.click(&window, "#step-all");
        browser.until(
            &window,
            &format!("document.querySelector('#card h2').textContent !== {before:?}"),
        );
        visit(
            &mut browser,
            &window,
            &studio,
            &format!("/quilt/2/{screen}"),
        );
        let after = words(&mut browser, &window, "#card h2");
        assert!(after.starts_with("1 of"), "{list}: {after}");
        let number = words(&mut browser, &window, "#step-number");
        assert!(number.starts_with("Step 2"), "{number}");
    }
    // What leaves as a file.
    for (path, kind) in [
        ("booklet.pdf", "application/pdf"),
        ("picture.svg", "image/svg+xml"),
        ("lines.svg", "image/svg+xml"),
        ("steps.html", "text/html; charset=utf-8"),
        ("templates/0.svg", "image/svg+xml"),
        ("templates/0.dxf", "image/vnd.dxf"),
        ("plan.toml", "application/toml"),
    ] {
        let got = browser.eval(
            &window,
            &format!("fetch('/quilt/2/{path}').then(async (a) => [a.status, a.headers.get('content-type'), (await a.arrayBuffer()).byteLength > 400])"),
        );
        assert_eq!(got, serde_json::json!([200, kind, true]), "{path}");
    }
    // The plan that leaves comes in again.
    let plan = studio.get("/quilt/2/plan.toml");
    planfile::read("the plan", &plan).expect("it reads");
}

fn drag(browser: &mut Browser, window: &Window, from: usize, to: usize) {
    let (x1, y1) = dot(browser, window, from);
    let (x2, y2) = dot(browser, window, to);
    let (x1, y1) = if (x1 - x2).abs() < 1.0 && (y1 - y2).abs() < 1.0 {
        (x1, y1)
    } else {
        // The second look may have scrolled the sheet.
        dot(browser, window, from)
    };
    let (x2, y2) = {
        let at = browser.eval(
            window,
            &format!(
                "(() => {{ const r = document.querySelector(\"#board [data-dot='{to}']\").getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2]; }})()"
            ),
        );
        (at[0].as_f64().unwrap_or(x2), at[1].as_f64().unwrap_or(y2))
    };
    for (kind, x, y, buttons) in [
        ("mousePressed", x1, y1, 1),
        (
            "mouseMoved",
            f64::midpoint(x1, x2),
            f64::midpoint(y1, y2),
            1,
        ),
        ("mouseMoved", x2, y2, 1),
        ("mouseReleased", x2, y2, 0),
    ] {
        let event = serde_json::json!({ "type": kind, "x": x, "y": y, "button": "left", "buttons": buttons, "clickCount": 1 });
        browser.of(window, "Input.dispatchMouseEvent", &event);
    }
}

#[test]
fn by_the_keyboard_alone() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    visit(&mut browser, &window, &studio, "/quilt/1/setting");
    // Round the four regions.
    for region in ["picture", "sheet", "card", "tape", "picture"] {
        browser.key(&window, "F6");
        let here = browser.eval(&window, "document.activeElement.id");
        assert_eq!(here, region);
    }
    // One stop for the picture, arrows inside, the block is named.
    browser.key(&window, "Tab");
    browser.key(&window, "ArrowRight");
    browser.key(&window, "ArrowDown");
    let says = browser.eval(&window, "document.activeElement.getAttribute('aria-label')");
    let says = says.as_str().unwrap_or_default().to_owned();
    assert!(
        says.starts_with("Row 2, block 2: Harbour, 20 patches"),
        "{says}"
    );
    browser.key(&window, "Enter");
    browser.until(
        &window,
        "document.querySelector('#card h2').textContent.includes('row 2, block 2')",
    );
    // In to the patches and out again.
    browser.key(&window, "Enter");
    browser.until(&window, "document.querySelector('#lay-cloth') !== null");
    browser.key(&window, "ArrowRight");
    browser.until(
        &window,
        "new URLSearchParams(location.search).get('chosen')?.startsWith('p')",
    );
    browser.key(&window, "Escape");
    browser.until(
        &window,
        "document.querySelector('#card h2').textContent.includes('row 2, block 2')",
    );
    // Wider, narrower.
    let reach = "document.querySelector('#card input[name=reach]:checked').value";
    assert_eq!(browser.eval(&window, reach), "here");
    browser.key(&window, "]");
    assert_ne!(browser.eval(&window, reach), "here");
    browser.key(&window, "[");
    assert_eq!(browser.eval(&window, reach), "here");
    // To the card's button by Tab, turned by Enter, taken back by its keys.
    browser.key(&window, "F6");
    browser.key(&window, "F6");
    for _ in 0..12 {
        browser.key(&window, "Tab");
        let value = browser.eval(&window, "document.activeElement.value ?? ''");
        if value == "1" {
            break;
        }
    }
    browser.key(&window, "Enter");
    shown(&mut browser, &window, 1);
    browser.key(&window, "Control+z");
    shown(&mut browser, &window, 2);
    // Steps answer to the keys a page-turner pedal sends.
    visit(&mut browser, &window, &studio, "/quilt/1/cutting");
    browser.key(&window, "PageDown");
    browser.until(
        &window,
        "document.querySelector('#step-number').textContent.startsWith('Step 2')",
    );
    browser.key(&window, "PageUp");
    browser.until(
        &window,
        "document.querySelector('#step-number').textContent.startsWith('Step 1 ')",
    );
    // A seam by keys alone.
    let begun = "{\"do\":\"begin\",\"title\":\"By keys\",\"measure\":\"cm\",\"across\":\"4\"}";
    assert_eq!(studio.post("/shelf", begun).0, 200);
    visit(&mut browser, &window, &studio, "/quilt/2/block");
    browser.eval(&window, "document.getElementById('board').focus()");
    browser.key(&window, "Enter");
    for key in [
        "ArrowRight",
        "ArrowDown",
        "ArrowRight",
        "ArrowDown",
        "ArrowRight",
        "ArrowDown",
        "ArrowRight",
        "ArrowDown",
    ] {
        browser.key(&window, key);
    }
    browser.key(&window, "Enter");
    shown(&mut browser, &window, 1);
    let verdict = words(&mut browser, &window, "#verdict");
    assert!(verdict.contains("2 patches"), "{verdict}");
    assert_eq!(browser.eval(&window, "document.activeElement.id"), "board");
}

#[test]
fn a_window_that_comes_late_is_told() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    visit(&mut browser, &window, &studio, "/quilt/1/setting");
    // The window does not hear of it, as when the machine slept.
    browser.eval(&window, "window.EventSource = class { close() {} }");
    let stale = "{\"do\":\"count\",\"rows\":\"7\",\"columns\":\"6\",\"turned\":0}";
    assert_eq!(studio.post("/quilt/1/do", stale).0, 200);
    let (status, says) = studio.post("/quilt/1/do", stale);
    assert_eq!(status, 409, "{says}");
    assert!(
        says.contains("Another window changed the quilt first"),
        "{says}"
    );
}
