//! The Block screen: constructions, the drawing board by finger, mouse and keys, a
//! photograph to trace, a repair taken, a drawing opened.

use crate::driver::{Browser, Window};
use crate::running::{Folder, Running};
use crate::{entered, shown, visit, words};

/// A window on the Block screen of a fresh quilt, its square divided so.
fn fresh(studio: &Running, across: u32) -> (Browser, Window) {
    let begun = format!(
        "{{\"do\":\"begin\",\"title\":\"Drawn\",\"measure\":\"inch\",\"across\":\"{across}\"}}"
    );
    assert_eq!(studio.post("/shelf", &begun).0, 200);
    let (mut browser, window) = entered(studio, 1440, 900);
    visit(&mut browser, &window, studio, "/quilt/2/block?dots=8");
    (browser, window)
}

/// Where a thing of the board lies in the window; it need not take the pointer itself.
fn place(browser: &mut Browser, window: &Window, selector: &str) -> (f64, f64) {
    let script = format!(
        "(() => {{ const e = document.querySelector({selector:?}); document.getElementById('board').scrollIntoView({{ block: 'center' }}); \
         const r = e.getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2]; }})()"
    );
    let at = browser.eval(window, &script);
    (
        at[0].as_f64().expect("a place"),
        at[1].as_f64().expect("a place"),
    )
}

/// Taps the dot of a board divided by eight.
fn tap(browser: &mut Browser, window: &Window, across: usize, down: usize) {
    let dot = format!("#board [data-dot='{}']", down * 9 + across);
    let (x, y) = place(browser, window, &dot);
    browser.click_at(window, x, y);
}

fn seam(browser: &mut Browser, window: &Window, from: [usize; 2], to: [usize; 2], turned: u32) {
    tap(browser, window, from[0], from[1]);
    browser.until(
        window,
        "document.getElementById('board').dataset.offered !== undefined",
    );
    tap(browser, window, to[0], to[1]);
    shown(browser, window, turned);
}

fn unfold(browser: &mut Browser, window: &Window) {
    browser.eval(
        window,
        "document.querySelectorAll('#sheet details').forEach((d) => { d.open = true; })",
    );
}

/// Gives a file to a field, as the maker's choosing does.
fn give(browser: &mut Browser, window: &Window, field: &str, file: &str) {
    unfold(browser, window);
    browser.eval(
        window,
        &format!(
            "(async () => {{ const given = new DataTransfer(); given.items.add(await {file}); \
             const field = document.querySelector({field:?}); field.files = given.files; \
             field.dispatchEvent(new Event('change', {{ bubbles: true }})); }})()"
        ),
    );
}

#[test]
fn nested_squares_are_laid_and_pulled() {
    let studio = Running::start();
    let (mut browser, window) = fresh(&studio, 8);
    browser.click(&window, "#lay-nested");
    browser.until(&window, "document.querySelector('#pulled')?.complete");
    let patches = words(&mut browser, &window, ".pulled");
    assert!(patches.contains("17 patches"), "{patches}");
    let picture = "document.querySelector('#pulled').src";
    let first = browser.eval(&window, picture);
    // The picture follows at once, and nothing of the plan has changed.
    browser.click(&window, "#pull-0-less");
    browser.until(
        &window,
        "document.querySelector('.pulled').textContent.includes('13 patches')",
    );
    assert_ne!(browser.eval(&window, picture), first);
    assert_eq!(browser.eval(&window, "document.body.dataset.turned"), "0");
    browser.click(&window, "#lay-it");
    shown(&mut browser, &window, 1);
    let verdict = words(&mut browser, &window, "#verdict");
    assert!(verdict.contains("Yes, in straight seams"), "{verdict}");
    assert!(verdict.contains("13 patches"), "{verdict}");
    let plan = studio.get("/quilt/2/plan.toml");
    for place in ["centre", "arm 1", "arm 2", "arm 3", "arm 4"] {
        assert!(plan.contains(place), "no {place} in {plan}");
    }
    browser.click(&window, "#undo");
    shown(&mut browser, &window, 2);
    assert!(!studio.get("/quilt/2/plan.toml").contains("arm 1"));
}

#[test]
fn nested_squares_are_drawn_by_hand_with_the_picture_following() {
    let studio = Running::start();
    let (mut browser, window) = fresh(&studio, 8);
    // The first seam of each square, then round the block.
    let mut turned = 0;
    for (from, to) in [([4, 0], [8, 4]), ([6, 2], [6, 6]), ([4, 2], [6, 4])] {
        turned += 1;
        seam(&mut browser, &window, from, to, turned);
    }
    // Half drawn, the picture shows what there is and says so.
    assert_eq!(
        browser.eval(&window, "document.getElementById('stale').hidden"),
        true
    );
    assert_eq!(
        browser.eval(&window, "document.getElementById('half').hidden"),
        false
    );
    let verdict = words(&mut browser, &window, "#verdict");
    assert!(verdict.contains("3 seams so far"), "{verdict}");
    assert!(verdict.contains("stops in the open"), "{verdict}");
    unfold(&mut browser, &window);
    browser.click(&window, "form:has(input[value='turn']) button");
    shown(&mut browser, &window, turned + 1);
    let verdict = words(&mut browser, &window, "#verdict");
    assert!(verdict.contains("Yes, in straight seams"), "{verdict}");
    assert!(verdict.contains("13 patches"), "{verdict}");
    assert_eq!(
        browser.eval(&window, "document.getElementById('half').hidden"),
        true
    );
}

#[test]
fn a_seam_at_22_and_a_half_degrees_by_finger_by_list_and_by_keys() {
    let studio = Running::start();
    let (mut browser, window) = fresh(&studio, 4);
    // By its words.
    tap(&mut browser, &window, 0, 0);
    browser.until(
        &window,
        "document.getElementById('ending').hidden === false",
    );
    let angle = "[...document.getElementById('ends').options].find((o) => o.text.startsWith('22 1/2° to the level, on the right edge'))";
    let value = browser.eval(&window, &format!("{angle}.value"));
    browser.write(&window, "#ends", value.as_str().expect("an end"));
    browser.click(&window, "#ending button[type=submit]");
    shown(&mut browser, &window, 1);
    let plan = studio.get("/quilt/2/plan.toml");
    assert!(plan.contains("√2"), "{plan}");
    // By finger, from the other corner.
    tap(&mut browser, &window, 8, 8);
    browser.until(
        &window,
        "document.getElementById('board').dataset.offered === '80'",
    );
    let offer = browser.eval(
        &window,
        "[...document.getElementById('ends').options].findIndex((o) => o.text.startsWith('22 1/2° to the level, on the left edge'))",
    );
    let (x, y) = place(
        &mut browser,
        &window,
        &format!("#offers [data-offer='{offer}']"),
    );
    browser.click_at(&window, x, y);
    shown(&mut browser, &window, 2);
    let verdict = words(&mut browser, &window, "#verdict");
    assert!(verdict.contains("3 patches"), "{verdict}");
    // By keys alone: from the corner along the top and down the right edge.
    visit(&mut browser, &window, &studio, "/quilt/2/block?dots=8");
    browser.eval(&window, "document.getElementById('board').focus()");
    for _ in 0..8 {
        browser.key(&window, "ArrowRight");
    }
    browser.key(&window, "Enter");
    browser.until(
        &window,
        "document.getElementById('board').dataset.offered === '8'",
    );
    let says = "document.getElementById('board-says').textContent";
    let mut heard = String::new();
    for key in std::iter::repeat_n("ArrowDown", 60) {
        browser.key(&window, key);
        heard = browser
            .eval(&window, says)
            .as_str()
            .unwrap_or_default()
            .to_owned();
        if heard.contains("° to the level") {
            break;
        }
    }
    assert!(heard.contains("° to the level"), "{heard}");
    browser.key(&window, "Enter");
    shown(&mut browser, &window, 3);
    assert_eq!(browser.eval(&window, "document.activeElement.id"), "board");
}

#[test]
fn a_photograph_is_laid_beneath_squared_and_kept() {
    let studio = Running::start();
    let (mut browser, window) = fresh(&studio, 4);
    let file = "new Promise((done) => { const c = document.createElement('canvas'); c.width = 400; c.height = 300; \
                const pen = c.getContext('2d'); pen.fillStyle = '#d8c9a8'; pen.fillRect(0, 0, 400, 300); \
                pen.fillStyle = '#8a1c1c'; pen.fillRect(80, 40, 240, 220); \
                c.toBlob((b) => done(new File([b], 'old block.png', { type: 'image/png' }))); })";
    give(&mut browser, &window, "#trace-file", file);
    browser.until(&window, "document.getElementById('corners') !== null");
    // Tap a corner, then where it is.
    let at = |browser: &mut Browser, x: f64, y: f64| {
        let at = browser.eval(&window, &format!(
            "(() => {{ const s = document.getElementById('corners'); s.scrollIntoView({{ block: 'center' }}); \
             const p = new DOMPoint({x} * 2.5, {y} * 2.5).matrixTransform(s.getScreenCTM()); return [p.x, p.y]; }})()"));
        (at[0].as_f64().expect("x"), at[1].as_f64().expect("y"))
    };
    for (from, to) in [
        ([40.0, 30.0], [80.0, 40.0]),
        ([360.0, 30.0], [320.0, 40.0]),
        ([360.0, 270.0], [320.0, 260.0]),
    ] {
        for [x, y] in [from, to] {
            let (x, y) = at(&mut browser, x, y);
            browser.click_at(&window, x, y);
        }
    }
    // The last one by keys.
    browser.key(&window, "Enter");
    for key in std::iter::repeat_n("Shift+ArrowRight", 4).chain(["ArrowRight", "Shift+ArrowUp"]) {
        browser.key(&window, key);
    }
    let set = browser.eval(&window, "document.getElementById('corners-are').value");
    assert!(set.as_str().unwrap_or_default().starts_with("20"), "{set}");
    browser.click(&window, "#square-it");
    browser.until(&window, "document.getElementById('beneath') !== null");
    browser.write(&window, "#strength", "30");
    let shows = "document.getElementById('board').style.getPropertyValue('--beneath')";
    browser.eval(
        &window,
        "document.getElementById('strength').dispatchEvent(new Event('input', { bubbles: true }))",
    );
    assert_eq!(browser.eval(&window, shows), "0.3");
    assert!(!studio.get("/quilt/2/plan.toml").contains("photo"));
    // Kept over a restart.
    let again = Running::on(Folder(studio.folder.clone()), None);
    std::mem::forget(Folder(studio.folder.clone()));
    browser.go(
        &window,
        &format!(
            "http://127.0.0.1:{}/open?key={}&quilt=2",
            again.port, again.key
        ),
    );
    browser.until(
        &window,
        "document.getElementById('beneath')?.dataset.strength === '30'",
    );
    browser.click(&window, "form[data-trace='away'] button");
    browser.until(&window, "document.getElementById('beneath') === null");
    unfold(&mut browser, &window);
    let before = words(&mut browser, &window, "form[data-trace='lay']");
    assert!(before.contains("Lay “old block” again"), "{before}");
}

#[test]
fn a_repair_is_shown_and_taken_and_a_slip_joined() {
    let studio = Running::start();
    let (mut browser, window) = fresh(&studio, 4);
    let star =
        "{\"do\":\"construct\",\"block\":\"0\",\"kind\":\"star\",\"pulls\":\"1\",\"turned\":0}";
    assert_eq!(studio.post("/quilt/2/do", star).0, 200);
    let hand = "{\"do\":\"by-hand\",\"block\":\"0\",\"turned\":1}";
    assert_eq!(studio.post("/quilt/2/do", hand).0, 200);
    visit(&mut browser, &window, &studio, "/quilt/2/block");
    browser.click(&window, "#show-where");
    browser.until(
        &window,
        "document.querySelector('#trouble-there polygon') !== null",
    );
    let cuts = browser.eval(
        &window,
        "document.querySelectorAll('#trouble-there line').length",
    );
    let button = words(&mut browser, &window, "form[data-deed='straighten'] button");
    assert!(
        button.contains(&format!("({cuts} patches more)")) || cuts == 1,
        "{button}"
    );
    browser.click(&window, "form[data-deed='straighten'] button");
    shown(&mut browser, &window, 3);
    let verdict = words(&mut browser, &window, "#verdict");
    assert!(verdict.contains("Yes, in straight seams"), "{verdict}");
    browser.click(&window, "#undo");
    shown(&mut browser, &window, 4);
    let verdict = words(&mut browser, &window, "#verdict");
    assert!(!verdict.contains("Yes, in straight seams"), "{verdict}");
}

#[test]
fn a_drawing_is_opened_and_tells_what_became_of_it() {
    let studio = Running::start();
    let (mut browser, window) = fresh(&studio, 4);
    let text = "<svg xmlns='http://www.w3.org/2000/svg'><rect width='80' height='80'/><path d='M20 0V79.6M0 40H80'/></svg>";
    let file = format!("new File([{text:?}], 'block.svg', {{ type: 'image/svg+xml' }})");
    give(&mut browser, &window, "#drawing-file", &file);
    shown(&mut browser, &window, 1);
    let status = words(&mut browser, &window, "#status");
    assert!(
        status.contains("2 of 2 lines lie on the grid of 4"),
        "{status}"
    );
    let verdict = words(&mut browser, &window, "#verdict");
    assert!(verdict.contains("4 patches"), "{verdict}");
    browser.click(&window, "#undo");
    shown(&mut browser, &window, 2);
}

#[test]
fn the_verdict_and_the_board_are_seen_without_scrolling() {
    let studio = Running::start();
    let (mut browser, window) = fresh(&studio, 4);
    for turned in 0..3 {
        let ask = format!(
            "{{\"do\":\"line\",\"block\":\"0\",\"division\":\"4\",\"from\":\"{}\",\"to\":\"{}\",\"turned\":{turned}}}",
            turned + 1,
            turned + 11
        );
        assert_eq!(studio.post("/quilt/2/do", &ask).0, 200);
    }
    for (width, height) in [(1440, 900), (820, 1180), (390, 844)] {
        browser.size(&window, width, height);
        visit(&mut browser, &window, &studio, "/quilt/2/block");
        let seen = browser.eval(
            &window,
            "(() => { const v = document.querySelector('#verdict .finding').getBoundingClientRect(); \
              const b = document.getElementById('board').getBoundingClientRect(); \
              const sheet = document.getElementById('sheet').getBoundingClientRect(); \
              const end = Math.min(innerHeight, sheet.bottom); \
              return [v.top >= 0 && v.bottom <= end, end - b.top]; })()",
        );
        assert_eq!(seen[0], true, "the verdict at {width}: {seen}");
        assert!(
            seen[1].as_f64() > Some(60.0),
            "the board at {width}: {seen}"
        );
        let letters = browser.eval(
            &window,
            "document.querySelectorAll('#board .letters text').length",
        );
        assert_eq!(letters, 0, "half drawn, no letters yet");
    }
    visit(&mut browser, &window, &studio, "/quilt/1/block");
    let hand = "{\"do\":\"by-hand\",\"block\":\"0\",\"turned\":0}";
    assert_eq!(studio.post("/quilt/1/do", hand).0, 200);
    for (width, height) in [(1440, 900), (390, 844), (320, 640)] {
        browser.size(&window, width, height);
        visit(&mut browser, &window, &studio, "/quilt/1/block");
        let size = browser.eval(
            &window,
            "(() => { const t = document.querySelector('#board .letters text'); \
              const k = document.getElementById('board').getScreenCTM().a; \
              return parseFloat(getComputedStyle(t).fontSize) * k; })()",
        );
        assert!(size.as_f64() >= Some(18.0), "letters at {width}: {size}");
    }
}

/// Pictures of the Block screen to look at: `cargo test -p studio --test browser board_shots
/// -- --ignored` with `STUDIO_SHOTS` naming the folder they go to.
#[test]
#[ignore = "pictures to look at, not to compare"]
fn board_shots() {
    let folder = std::env::var("STUDIO_SHOTS").unwrap_or_else(|_| "shots".into());
    std::fs::create_dir_all(&folder).expect("a folder for the pictures");
    let studio = Running::start();
    let (mut browser, window) = fresh(&studio, 4);
    let png = crate::running::cloth_png(400, 300, 40);
    let kept = studio.bring("/quilt/2/photo?kind=tracing&name=old.png", &png);
    assert_eq!(kept.0, 200);
    let ask = |path: &str, text: &str| assert_eq!(studio.post(path, text).0, 200, "{text}");
    let steps: [(&str, &str, &str, &str); 8] = [
        ("fresh", "", "", "/quilt/2/block"),
        ("pulled", "", "", "/quilt/2/block?lay=nested"),
        (
            "half",
            "/quilt/2/do",
            "{\"do\":\"line\",\"block\":\"0\",\"division\":\"4\",\"from\":\"2\",\"to\":\"12\",\"turned\":0}",
            "/quilt/2/block",
        ),
        ("begun", "", "", "/quilt/2/block?dots=4"),
        (
            "where",
            "/quilt/2/do",
            "{\"do\":\"construct\",\"block\":\"0\",\"kind\":\"star\",\"pulls\":\"1\",\"turned\":1}",
            "/quilt/2/block?show=where",
        ),
        (
            "where-board",
            "/quilt/2/do",
            "{\"do\":\"by-hand\",\"block\":\"0\",\"turned\":2}",
            "/quilt/2/block?show=where",
        ),
        (
            "corners",
            "/quilt/2/tracing",
            "{\"do\":\"lay\",\"block\":\"0\",\"photo\":\"1\"}",
            "/quilt/2/block",
        ),
        (
            "traced",
            "/quilt/2/tracing",
            "{\"do\":\"corners\",\"block\":\"0\",\"corners\":\"1000 1000 9000 500 9500 9500 500 9000\"}",
            "/quilt/2/block",
        ),
    ];
    let only = std::env::var("STUDIO_ONLY").unwrap_or_default();
    for (name, path, text, page) in steps {
        if !path.is_empty() {
            ask(path, text);
        }
        for (size, (width, height), dim) in [
            ("desk", (1440, 900), false),
            ("tablet", (820, 1180), false),
            ("phone", (390, 844), false),
            ("dim", (1440, 900), true),
        ] {
            if !only.is_empty() && !only.split(',').any(|one| one == name || one == size) {
                continue;
            }
            browser.size(&window, width, height);
            browser.dim(&window, dim);
            visit(&mut browser, &window, &studio, page);
            if name == "begun" {
                browser.eval(&window, "document.getElementById('board').focus()");
                browser.key(&window, "Enter");
                browser.until(
                    &window,
                    "document.getElementById('board').dataset.offered !== undefined",
                );
            }
            browser.until(
                &window,
                "[...document.images].every((i) => i.loading === 'lazy' || i.complete)",
            );
            std::thread::sleep(std::time::Duration::from_millis(400));
            let shot = browser.shot(&window);
            std::fs::write(format!("{folder}/{name}-{size}.b64"), shot).expect("the picture");
        }
    }
}
