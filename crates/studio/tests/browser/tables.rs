//! At the cutting table, at the machine, on the setting and the finishing screens: what the
//! hands ask for besides ticking, on large screens and small ones, and on paper.

use serde_json::{Value, json};

use crate::driver::{Browser, Window};
use crate::running::{Folder, Running, demo, parts};
use crate::{entered, in_picture, shown, visit, words};

/// Opens a folded part by its words and waits for nothing: it is there already.
fn unfold(browser: &mut Browser, window: &Window, says: &str) {
    let script = format!(
        "[...document.querySelectorAll('summary')].find((s) => s.textContent.startsWith({says:?})).parentElement.open = true"
    );
    browser.eval(window, &script);
}

/// Clicks the button that says so.
fn press(browser: &mut Browser, window: &Window, within: &str, says: &str) {
    let script = format!(
        "(() => {{ const b = [...document.querySelectorAll({within:?} + ' button, ' + {within:?} + ' a.button')].find((b) => b.textContent.trim().startsWith({says:?})); if (!b) return false; b.dataset.pressed = 'now'; return true; }})()"
    );
    assert_eq!(
        browser.eval(window, &script),
        true,
        "no button “{says}” in {within}"
    );
    browser.click(window, "[data-pressed='now']");
    browser.eval(
        window,
        "document.querySelector('[data-pressed]')?.removeAttribute('data-pressed')",
    );
}

fn status(browser: &mut Browser, window: &Window) -> String {
    words(browser, window, "#status")
}

#[test]
fn a_tick_says_what_comes_next_and_undo_takes_it_back_after_a_restart() {
    let folder = Folder::new();
    let first = Running::on(folder, Some(&demo("saltmarsh.toml")));
    let (mut browser, window) = entered(&first, 1440, 900);
    visit(&mut browser, &window, &first, "/quilt/2/cutting");
    let texts = browser.eval(
        &window,
        "[...document.querySelectorAll('.steps a')].slice(0, 3).map((a) => a.textContent)",
    );
    for step in [1, 2] {
        browser.click(&window, "#step-all");
        shown(&mut browser, &window, step);
        let wanted = format!(
            "Done. Next, step {}: {}",
            step + 1,
            texts[step as usize].as_str().unwrap_or_default()
        );
        assert_eq!(status(&mut browser, &window), wanted);
        // What the server tells every window of the change does not speak over it.
        std::thread::sleep(std::time::Duration::from_millis(400));
        assert_eq!(status(&mut browser, &window), wanted);
    }
    let undo = words(&mut browser, &window, "#undo .words");
    assert_eq!(undo, "Undo: Tick cutting step 2");
    // Another program on the same shelf, as after a restart.
    let second = studio::Studio::open(&first.folder.join("shelf"), None).expect("it opens again");
    let (port, key) = parts(&second.address());
    std::thread::spawn(move || second.run());
    browser.go(&window, &format!("http://127.0.0.1:{port}/open?key={key}"));
    browser.go(&window, &format!("http://127.0.0.1:{port}/quilt/2/cutting"));
    let ready = |browser: &mut Browser| words(browser, &window, "#card h2");
    assert!(ready(&mut browser).starts_with("2 of"));
    browser.click(&window, "#undo");
    shown(&mut browser, &window, 3);
    assert!(ready(&mut browser).starts_with("1 of"));
    assert!(words(&mut browser, &window, "#step-number").starts_with("Step 2 "));
    browser.click(&window, "#redo");
    shown(&mut browser, &window, 4);
    assert!(ready(&mut browser).starts_with("2 of"));
    // The picture followed.
    let cut = browser.eval(
        &window,
        "fetch('/quilt/2/so-far/cut').then((a) => a.json()).then((s) => s.length > 0)",
    );
    assert_eq!(cut, true);
}

/// The smallest letters of the step's drawing as they are shown, and its words.
const LETTERS: &str = r"(async () => {
  const img = document.querySelector('img.drawn.step');
  if (!img) return null;
  await img.decode();
  const text = await (await fetch(img.currentSrc)).text();
  const svg = new DOMParser().parseFromString(text, 'image/svg+xml').documentElement;
  const shown = img.clientWidth / svg.viewBox.baseVal.width;
  const sizes = [...svg.querySelectorAll('text')].map((t) => Number(t.getAttribute('font-size')) * shown);
  const words = [...svg.querySelectorAll('text')].map((t) => t.textContent).join(' ');
  return [sizes.length ? Math.min(...sizes) : 99, words, img.clientWidth, document.documentElement.scrollWidth];
})()";

#[test]
fn letters_of_a_step_can_be_read_and_its_fractions_are_set() {
    let studio = Running::with(Some(&demo("night-ferry.toml")));
    let (mut browser, window) = entered(&studio, 1440, 900);
    let mut looked_at = 0;
    for (width, height) in [
        (1440, 900),
        (820, 1180),
        (1024, 768),
        (390, 844),
        (320, 640),
    ] {
        browser.size(&window, width, height);
        for path in [
            "/quilt/1/cutting",
            "/quilt/1/sewing?at=2",
            "/quilt/2/cutting?at=3",
            "/quilt/2/sewing",
        ] {
            visit(&mut browser, &window, &studio, path);
            let found = browser.eval(&window, LETTERS);
            if found.is_null() {
                continue;
            }
            looked_at += 1;
            let least = found[0].as_f64().unwrap_or_default();
            assert!(least > 17.5, "{path} at {width}: letters of {least} px");
            let said = found[1].as_str().unwrap_or_default();
            let plain = said
                .split(|c: char| !(c.is_ascii_digit() || c == '/'))
                .any(|word| word.trim_matches('/').contains('/'));
            assert!(!plain, "{path} at {width}: {said}");
            assert!(found[3].as_u64() <= Some(width.into()), "{path} at {width}");
        }
    }
    assert!(looked_at >= 15, "only {looked_at} drawings");
}

#[test]
fn a_patch_of_the_picture_leads_to_the_step_it_comes_from() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    for (turned, screen, says) in [
        (1, "cutting", "is cut in step"),
        (2, "sewing", "is first sewn in step"),
    ] {
        visit(
            &mut browser,
            &window,
            &studio,
            &format!("/quilt/1/{screen}"),
        );
        let (x, y) = in_picture(&mut browser, &window, 0.31, 0.37);
        browser.click_at(&window, x, y);
        browser.until(&window, "document.getElementById('comes-from') !== null");
        let from = words(&mut browser, &window, "#comes-from");
        assert!(from.contains(says), "{from}");
        let step: String = from
            .split("step ")
            .nth(1)
            .unwrap_or_default()
            .chars()
            .take_while(char::is_ascii_digit)
            .collect();
        let number = words(&mut browser, &window, "#step-number");
        assert!(
            number.starts_with(&format!("Step {step} of")),
            "{from} {number}"
        );
        // And the step shows where its pieces lie: the patch among them.
        browser.click(&window, "#step-where");
        browser.until(
            &window,
            "document.getElementById('status').textContent.startsWith('Outlined in the picture')",
        );
        let at = step.parse::<usize>().unwrap_or(1) - 1;
        let list = if screen == "cutting" { "cut" } else { "sew" };
        let holds = browser.eval(
            &window,
            &format!(
                "fetch('/quilt/1/where/{list}/{at}').then((a) => a.json()).then((all) => all.includes(Number(new URLSearchParams(location.search).get('chosen').slice(1))))"
            ),
        );
        assert_eq!(holds, true, "{from}");
        // Ticking goes on from there, although the patch is still chosen.
        let ids = "document.querySelector('#step-all') !== null";
        assert_eq!(browser.eval(&window, ids), true);
        browser.click(&window, "#step-all");
        shown(&mut browser, &window, turned);
        let next = words(&mut browser, &window, "#step-number");
        assert_ne!(next, number, "the page stays at the chosen step");
    }
}

#[test]
fn a_piece_that_came_out_wrong_is_cut_again_from_what_is_left() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    visit(
        &mut browser,
        &window,
        &studio,
        "/quilt/1/cutting?chosen=p100",
    );
    unfold(&mut browser, &window, "One came out wrong");
    press(&mut browser, &window, "#card", "One more");
    shown(&mut browser, &window, 1);
    let again = words(&mut browser, &window, "#cut-again");
    assert!(again.contains("One piece to cut again"), "{again}");
    let says = ["from what is left of strip", "from a strip", "short of it"];
    assert!(says.iter().any(|words| again.contains(words)), "{again}");
    let told = status(&mut browser, &window);
    assert!(again.contains(&told), "{told}");
    let undo = words(&mut browser, &window, "#undo .words");
    assert!(undo.contains("came out wrong"), "{undo}");
    // The piles stand there all the while.
    assert!(words(&mut browser, &window, "#piles").contains("0 of"));
    browser.click(&window, "#undo");
    shown(&mut browser, &window, 2);
    assert_eq!(words(&mut browser, &window, "#cut-again"), "");
    browser.click(&window, "#redo");
    shown(&mut browser, &window, 3);
    press(&mut browser, &window, "#cut-again", "It is cut");
    shown(&mut browser, &window, 4);
    assert_eq!(words(&mut browser, &window, "#cut-again"), "");
}

#[test]
fn a_unit_that_measures_wrong_says_what_that_means() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    visit(&mut browser, &window, &studio, "/quilt/1/sewing");
    // The first step that is one seam of a block.
    let at = browser.eval(
        &window,
        "[...document.querySelectorAll('.steps a')].findIndex((a) => a.textContent.startsWith('Join')) + 1",
    );
    visit(
        &mut browser,
        &window,
        &studio,
        &format!("/quilt/1/sewing?at={at}"),
    );
    unfold(&mut browser, &window, "Mine measures");
    let should = words(&mut browser, &window, ".step-sheet");
    let should = should.split("It measures ").nth(1).unwrap_or_default();
    let long: String = should.chars().take_while(|c| !matches!(c, '×')).collect();
    let whole: i64 = long
        .trim()
        .split(' ')
        .next()
        .unwrap_or_default()
        .parse()
        .unwrap_or(3);
    browser.write(&window, "#mine-along", &format!("{} 7/8", whole - 1));
    browser.click(&window, "#mine-ask");
    shown(&mut browser, &window, 1);
    let told = words(&mut browser, &window, "#measured");
    for part in [
        "it should be",
        "too small",
        "That is a seam of about",
        "The whole top would finish at",
        "take it apart",
    ] {
        assert!(told.contains(part), "no “{part}” in {told}");
    }
    let undo = words(&mut browser, &window, "#undo .words");
    assert!(undo.contains("measures"), "{undo}");
    browser.click(&window, "#undo");
    shown(&mut browser, &window, 2);
    assert_eq!(words(&mut browser, &window, "#measured"), "");
    // Which way it is pressed, from the wrong side.
    unfold(&mut browser, &window, "Press which way?");
    browser.until(
        &window,
        "[...document.querySelectorAll('#card img.step')].some((i) => i.complete && i.naturalWidth > 100)",
    );
}

#[test]
fn taking_apart_steps_back_and_lists_the_seams() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    visit(&mut browser, &window, &studio, "/quilt/1/sewing");
    let at = browser.eval(
        &window,
        "[...document.querySelectorAll('.steps a')].findIndex((a) => a.textContent.startsWith('Join')) + 1",
    );
    visit(
        &mut browser,
        &window,
        &studio,
        &format!("/quilt/1/sewing?at={at}"),
    );
    unfold(&mut browser, &window, "Take apart");
    assert!(words(&mut browser, &window, "#card").contains("nothing to take apart"));
    for turned in [1, 2] {
        browser.click(&window, "#step-one");
        shown(&mut browser, &window, turned);
        assert!(status(&mut browser, &window).starts_with(&format!("{turned} of")));
    }
    assert!(words(&mut browser, &window, ".count").starts_with("2 of"));
    unfold(&mut browser, &window, "Take apart");
    assert!(words(&mut browser, &window, "#card .seams").contains("Join"));
    browser.click(&window, "#step-apart");
    shown(&mut browser, &window, 3);
    assert!(words(&mut browser, &window, ".count").starts_with("1 of"));
    assert!(status(&mut browser, &window).contains("One seam to unpick"));
    browser.click(&window, "#undo");
    shown(&mut browser, &window, 4);
    assert!(words(&mut browser, &window, "#tape .so-far").contains("drawn"));
}

#[test]
fn beside_the_machine_two_large_buttons_stay_in_sight() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1024, 768);
    visit(&mut browser, &window, &studio, "/quilt/1/sewing?at=2");
    browser.click(&window, "[data-comfort='table']");
    let boxes = browser.eval(
        &window,
        "[...document.querySelectorAll('.work .big')].map((b) => { const r = b.getBoundingClientRect(); return [r.width, r.height, r.top, r.bottom]; })",
    );
    let boxes = boxes.as_array().cloned().unwrap_or_default();
    assert_eq!(boxes.len(), 2, "Back and one more");
    for one in boxes {
        assert!(
            one[1].as_f64() >= Some(96.0) && one[0].as_f64() >= Some(140.0),
            "{one}"
        );
        assert!(one[3].as_f64() <= Some(768.0), "out of sight: {one}");
    }
    // The picture comes back as a band when the places are asked for.
    browser.click(&window, "#step-where");
    browser.until(
        &window,
        "document.getElementById('picture').getBoundingClientRect().height > 100",
    );
    let high = browser.eval(
        &window,
        "document.getElementById('picture').getBoundingClientRect().height",
    );
    assert!(high.as_f64() <= Some(768.0 * 0.36), "{high}");
    browser.key(&window, "PageDown");
    shown(&mut browser, &window, 1);
}

#[test]
fn a_pin_holds_a_block_and_two_blocks_change_places() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    visit(&mut browser, &window, &studio, "/quilt/1/setting?chosen=b7");
    press(&mut browser, &window, "#pinning", "Pin it");
    shown(&mut browser, &window, 1);
    assert!(words(&mut browser, &window, "#pinning").contains("Pinned"));
    assert!(studio.get("/quilt/1/plan.toml").contains("pinned"));
    press(&mut browser, &window, "#pinning", "Take the pin out");
    shown(&mut browser, &window, 2);
    assert!(!studio.get("/quilt/1/plan.toml").contains("pinned"));
    // The one, then the other, then exchange.
    browser.click(&window, "#exchange-first");
    browser.until(
        &window,
        "document.getElementById('exchange-begun') !== null",
    );
    for _ in 0..2 {
        let (x, y) = in_picture(&mut browser, &window, 0.78, 0.78);
        browser.click_at(&window, x, y);
    }
    browser.until(
        &window,
        "document.querySelector('#exchanging button') !== null",
    );
    browser.click(&window, "#exchanging button");
    shown(&mut browser, &window, 3);
    let undo = words(&mut browser, &window, "#undo .words");
    assert!(
        undo.starts_with("Undo: Exchange row 2, block 2 and row"),
        "{undo}"
    );
}

#[test]
fn the_top_grows_by_its_corner_dragged_tapped_or_by_keys() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    visit(&mut browser, &window, &studio, "/quilt/1/setting");
    let blocks = |browser: &mut Browser| {
        let text = words(browser, &window, "#sheet .facts");
        let steppers = browser.eval(
            &window,
            "[...document.querySelectorAll('.stepper .name')].slice(0, 2).map((s) => s.textContent).join('; ')",
        );
        (text, steppers.as_str().unwrap_or_default().to_owned())
    };
    assert_eq!(blocks(&mut browser).1, "Blocks down: 6; Blocks across: 6");
    // Dragged in by two blocks of six each way.
    let (x, y) = browser.middle(&window, "#grip");
    let (tx, ty) = in_picture(&mut browser, &window, 0.68, 0.68);
    for (kind, x, y, buttons) in [
        ("mousePressed", x, y, 1),
        ("mouseMoved", tx + 30.0, ty + 30.0, 1),
        ("mouseMoved", tx, ty, 1),
        ("mouseReleased", tx, ty, 0),
    ] {
        let event = json!({ "type": kind, "x": x, "y": y, "button": "left", "buttons": buttons, "clickCount": 1 });
        browser.of(&window, "Input.dispatchMouseEvent", &event);
    }
    shown(&mut browser, &window, 1);
    assert_eq!(blocks(&mut browser).1, "Blocks down: 4; Blocks across: 4");
    // By two taps: the grip, then the place.
    browser.click(&window, "#grip");
    assert!(status(&mut browser, &window).starts_with("Now tap where"));
    let (x, y) = in_picture(&mut browser, &window, 0.76, 0.98);
    browser.click_at(&window, x, y);
    shown(&mut browser, &window, 2);
    assert_eq!(blocks(&mut browser).1, "Blocks down: 4; Blocks across: 3");
    // By keys.
    browser.eval(&window, "document.getElementById('grip').focus()");
    browser.key(&window, "ArrowDown");
    shown(&mut browser, &window, 3);
    assert_eq!(blocks(&mut browser).1, "Blocks down: 5; Blocks across: 3");
    // Figures are counted anew with every gesture.
    let seen = words(&mut browser, &window, "#figures");
    assert!(seen.contains("whole") || seen.contains("figure"), "{seen}");
}

#[test]
fn a_bed_under_the_top_says_how_far_it_hangs_down() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    visit(&mut browser, &window, &studio, "/quilt/1/setting");
    // It was made for a size of its own before.
    let size = words(&mut browser, &window, "#drop");
    assert!(size.contains("Beside the size you aim at"), "{size}");
    unfold(&mut browser, &window, "Under it");
    browser.write(&window, "#aim-bed", "twin");
    browser.click(&window, "#aim-go");
    shown(&mut browser, &window, 1);
    // 72 in square over 39 × 75.
    let drop = words(&mut browser, &window, "#drop");
    assert!(drop.contains("hangs down 16 1/2 in at each side"), "{drop}");
    assert!(drop.contains("is 3 in short at the foot"), "{drop}");
    assert!(words(&mut browser, &window, "#bed").contains("guild"));
    browser.until(
        &window,
        "document.querySelector('img.bed')?.naturalWidth > 100",
    );
    assert!(studio.get("/quilt/1/plan.toml").contains("twin"));
    browser.click(&window, "#undo");
    shown(&mut browser, &window, 2);
    assert_eq!(words(&mut browser, &window, "#drop"), size);
}

#[test]
fn two_settings_hang_side_by_side() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    visit(&mut browser, &window, &studio, "/quilt/1/setting?wall=open");
    for held in [1, 2] {
        press(&mut browser, &window, "#wall .wall", "Hold it up");
        browser.until(
            &window,
            &format!("document.querySelectorAll('#held figure').length === {held}"),
        );
    }
    let beside = browser.eval(
        &window,
        "(() => { const [a, b] = [...document.querySelectorAll('#held figure')].map((f) => f.getBoundingClientRect()); return Math.abs(a.top - b.top) < 2 && b.left > a.right - 1; })()",
    );
    assert_eq!(beside, true);
    let says = words(&mut browser, &window, "#held figure ul");
    assert!(!says.is_empty(), "no figures told");
    press(
        &mut browser,
        &window,
        "#held figure:last-child",
        "Take this one",
    );
    shown(&mut browser, &window, 1);
    press(&mut browser, &window, "#held", "Hang it back");
    browser.until(
        &window,
        "document.querySelectorAll('#held figure').length === 1",
    );
}

#[test]
fn the_backing_stands_both_ways_with_what_each_takes() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    visit(&mut browser, &window, &studio, "/quilt/1/finishing");
    let ways = browser.eval(
        &window,
        "[...document.querySelectorAll('#backing-ways figcaption')].map((c) => c.textContent)",
    );
    let ways = ways.as_array().cloned().unwrap_or_default();
    assert!(!ways.is_empty());
    for way in &ways {
        assert!(way.as_str().unwrap_or_default().contains("yd"), "{way}");
    }
    browser.until(
        &window,
        "[...document.querySelectorAll('#backing-ways img')].every((i) => i.complete && i.naturalWidth > 60)",
    );
}

#[test]
fn an_unfinished_quilt_is_on_the_shelf_with_words_and_files_bear_its_name() {
    let studio = Running::start();
    let begun =
        "{\"do\":\"begin\",\"title\":\"Half a Plan\",\"measure\":\"inch\",\"across\":\"4\"}";
    assert_eq!(studio.post("/shelf", begun).0, 200);
    // A seam that ends in the open: no block, no top.
    let line = "{\"do\":\"line\",\"block\":\"0\",\"from\":\"0\",\"to\":\"6\",\"x1\":\"0\",\"y1\":\"0\",\"x2\":\"1\",\"y2\":\"1\",\"turned\":0}";
    let _ = studio.post("/quilt/2/do", line);
    let picture = studio.get("/quilt/2/picture.svg");
    assert!(picture.starts_with("<svg"), "{picture}");
    let (mut browser, window) = entered(&studio, 1440, 900);
    browser.go(&window, &format!("http://127.0.0.1:{}/", studio.port));
    browser.until(
        &window,
        "[...document.querySelectorAll('.quilts img')].every((i) => i.complete && i.naturalWidth > 0)",
    );
    visit(&mut browser, &window, &studio, "/quilt/1/booklet");
    // What the server calls a file comes before what the link calls it.
    let names = browser.eval(
        &window,
        r"Promise.all([...document.querySelectorAll('a[download]')].map(async (a) => {
          const answer = await fetch(a.href);
          const named = answer.headers.get('content-disposition')?.match(/filename=.([^\x22]+)/)?.[1];
          return named ?? a.getAttribute('download');
        })).then((all) => all.concat(document.getElementById('as-png').dataset.name))",
    );
    for name in names.as_array().cloned().unwrap_or_default() {
        let name = name.as_str().unwrap_or_default().to_owned();
        assert!(name.starts_with("harbour-lights"), "{name}");
    }
}

/// The gaps and sizes of what can be tapped, below the picture.
const TARGETS: &str = r"(() => {
  const seen = (e) => e.checkVisibility({ checkOpacity: true, checkVisibilityCSS: true });
  const all = [...document.querySelectorAll('#sheet a[href], #sheet button, #sheet summary, #sheet select, #sheet input:not([type=hidden]):not([type=radio]), #card a[href], #card button, #card summary, #card select, #card input:not([type=hidden]):not([type=radio]), #card .reach, #tape button, #tape a, #tape summary')]
    .filter((e) => seen(e) && getComputedStyle(e).position !== 'fixed');
  const boxes = all.map((e) => e.getBoundingClientRect());
  const name = (e) => `${e.tagName.toLowerCase()} “${e.textContent.trim().slice(0, 30)}”`;
  const faults = [];
  boxes.forEach((a, i) => {
    if (a.height < 55.5 || a.width < 43.5) faults.push(`${name(all[i])} is ${a.width.toFixed(0)} × ${a.height.toFixed(0)}`);
    boxes.forEach((b, j) => {
      if (j <= i || all[i].contains(all[j]) || all[j].contains(all[i])) return;
      const right = Math.max(a.left, b.left) - Math.min(a.right, b.right);
      const down = Math.max(a.top, b.top) - Math.min(a.bottom, b.bottom);
      if (right < 7.5 && down < 7.5) faults.push(`${Math.max(right, down).toFixed(1)} px between ${name(all[i])} and ${name(all[j])}`);
    });
  });
  return [...new Set(faults)];
})()";

#[test]
fn fingers_find_what_they_tap_on_small_screens() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 390, 844);
    let mut faults = Vec::new();
    for (width, height) in [(390, 844), (360, 740), (320, 640), (820, 1180), (720, 450)] {
        browser.size(&window, width, height);
        for path in [
            "setting?chosen=b7",
            "setting?wall=open",
            "cutting?chosen=p100",
            "sewing?at=2",
            "finishing",
        ] {
            visit(&mut browser, &window, &studio, &format!("/quilt/1/{path}"));
            browser.eval(
                &window,
                "document.querySelectorAll('#sheet details, #card details').forEach((d) => { d.open = true; })",
            );
            let found: Value = browser.eval(&window, TARGETS);
            for fault in found.as_array().into_iter().flatten() {
                faults.push(format!(
                    "{path} at {width}: {}",
                    fault.as_str().unwrap_or_default()
                ));
            }
            let wide = browser.eval(&window, "document.documentElement.scrollWidth");
            if wide.as_u64() > Some(width.into()) {
                faults.push(format!("{path} at {width}: {wide} wide"));
            }
        }
    }
    assert!(
        faults.is_empty(),
        "{} faults:\n{}",
        faults.len(),
        faults.join("\n")
    );
}

#[test]
fn on_a_phone_the_picture_is_a_band_that_opens_and_what_is_chosen_comes_into_view() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 390, 844);
    visit(&mut browser, &window, &studio, "/quilt/1/setting");
    let high = |browser: &mut Browser| {
        let high = browser.eval(
            &window,
            "document.getElementById('picture').getBoundingClientRect().height",
        );
        high.as_f64().unwrap_or_default()
    };
    let band = high(&mut browser);
    assert!((844.0 * 0.28..844.0 * 0.32).contains(&band), "{band}");
    let (x, y) = in_picture(&mut browser, &window, 0.13, 0.13);
    browser.click_at(&window, x, y);
    browser.until(
        &window,
        "document.getElementById('picture').getBoundingClientRect().height > 500",
    );
    browser.until(
        &window,
        "document.getElementById('quilt').getBoundingClientRect().width > 300",
    );
    let (x, y) = in_picture(&mut browser, &window, 0.13, 0.13);
    browser.click_at(&window, x, y);
    browser.until(&window, "document.querySelector('#card .turning') !== null");
    browser.until(
        &window,
        "(() => { const r = document.querySelector('#card h2').getBoundingClientRect(); const p = document.getElementById('picture').getBoundingClientRect(); return r.top >= p.bottom - 1 && r.bottom <= innerHeight; })()",
    );
    assert!(high(&mut browser) < 844.0 * 0.32, "the band closes again");
}

#[test]
fn every_screen_prints_with_its_name_and_a_bar_to_measure() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1024, 768);
    for screen in [
        "block",
        "cloth",
        "setting",
        "cutting",
        "sewing",
        "finishing",
        "booklet",
    ] {
        visit(
            &mut browser,
            &window,
            &studio,
            &format!("/quilt/1/{screen}"),
        );
        browser.eval(&window, "dispatchEvent(new Event('beforeprint'))");
        browser.of(
            &window,
            "Emulation.setEmulatedMedia",
            &json!({ "media": "print" }),
        );
        let found = browser.eval(
            &window,
            r"(() => {
              const wide = (s) => document.querySelector(s).getBoundingClientRect().width / 96 * 2.54;
              const seen = (e) => e.checkVisibility();
              return [wide('.on-paper .bar'), wide('.on-paper .bar.inch'),
                [...document.querySelectorAll('form, nav, select')].filter(seen).length,
                document.querySelector('.on-paper').textContent,
                getComputedStyle(document.body).color,
                [...document.querySelectorAll('#legend li')].filter(seen).length];
            })()",
        );
        assert!(
            (found[0].as_f64().unwrap_or_default() - 5.0).abs() < 0.02,
            "{screen}: {found}"
        );
        assert!(
            (found[1].as_f64().unwrap_or_default() - 5.08).abs() < 0.02,
            "{screen}: {found}"
        );
        assert_eq!(found[2], 0, "{screen}: forms on paper");
        let says = found[3].as_str().unwrap_or_default();
        assert!(
            says.contains("Harbour Lights") && says.contains("20"),
            "{screen}: {says}"
        );
        assert_eq!(found[4], "rgb(0, 0, 0)", "{screen}");
        assert!(found[5].as_u64() > Some(3), "{screen}: no list of cloths");
        let drawn = browser.eval(
            &window,
            "(async () => { const i = document.getElementById('paper-picture'); await i.decode(); const r = i.getBoundingClientRect(); return [i.naturalWidth, r.width, getComputedStyle(document.getElementById('quilt')).display]; })()",
        );
        assert!(
            drawn[0].as_u64() > Some(900) && drawn[1].as_f64() > Some(300.0),
            "{screen}: {drawn}"
        );
        assert_eq!(
            drawn[2], "none",
            "{screen}: the screen's own picture on paper"
        );
        let paper = browser.of(&window, "Page.printToPDF", &json!({}));
        assert!(
            paper["data"].as_str().unwrap_or_default().len() > 10_000,
            "{screen}"
        );
        browser.of(
            &window,
            "Emulation.setEmulatedMedia",
            &json!({ "media": "" }),
        );
    }
}

#[test]
fn forced_colours_and_still_pictures_lose_nothing() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1024, 768);
    let features = json!({ "features": [
        { "name": "forced-colors", "value": "active" },
        { "name": "prefers-reduced-motion", "value": "reduce" },
    ] });
    browser.of(&window, "Emulation.setEmulatedMedia", &features);
    for path in ["setting?chosen=b7", "cutting", "sewing", "finishing"] {
        visit(&mut browser, &window, &studio, &format!("/quilt/1/{path}"));
        let moving = browser.eval(
            &window,
            "[...document.querySelectorAll('*')].filter((e) => { const s = getComputedStyle(e); return parseFloat(s.animationDuration) > 0 || parseFloat(s.transitionDuration) > 0; }).length",
        );
        assert_eq!(moving, 0, "{path}");
        // Where one is, and how far the work is, is told by an outline and by words.
        let here = browser.eval(
            &window,
            "getComputedStyle(document.querySelector('.lengths a[aria-current]')).outlineStyle",
        );
        assert_eq!(here, "solid", "{path}");
        let far = words(&mut browser, &window, ".lengths a[aria-current] .so-far");
        assert!(!far.is_empty(), "{path}");
    }
}

#[test]
fn screens_of_an_empty_plan_say_what_they_wait_for() {
    let studio = Running::start();
    let begun = "{\"do\":\"begin\",\"title\":\"Nothing yet\",\"measure\":\"cm\",\"across\":\"3\"}";
    assert_eq!(studio.post("/shelf", begun).0, 200);
    let (mut browser, window) = entered(&studio, 1024, 768);
    for screen in ["setting", "cutting", "sewing", "finishing"] {
        visit(
            &mut browser,
            &window,
            &studio,
            &format!("/quilt/2/{screen}"),
        );
        let sheet = words(&mut browser, &window, "#sheet");
        assert!(sheet.len() > 60, "{screen}: {sheet}");
    }
}

/// Pictures of these screens, to look at: `STUDIO_SHOTS` names the folder they go to.
#[test]
#[ignore = "pictures to look at, not to compare"]
fn looked_at() {
    let folder = std::env::var("STUDIO_SHOTS").unwrap_or_else(|_| "shots".into());
    std::fs::create_dir_all(&folder).expect("a folder for the pictures");
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    let mut turned = 0;
    let mut mark = |json: &str| {
        turned += 1;
        assert_eq!(studio.post("/quilt/1/tick", json).0, 200, "{json}");
    };
    let lines = |path: &str| {
        let page = studio.get(path);
        let keys = page.split("name=\"line\" value=\"").nth(1);
        keys.and_then(|k| k.split('"').next())
            .unwrap_or_default()
            .replace("&quot;", "\\\"")
            .replace("&#39;", "'")
    };
    let line = lines("/quilt/1/sewing?at=2");
    mark(&format!(
        "{{\"do\":\"mine\",\"list\":\"sew\",\"line\":\"{line}\",\"along\":\"2 1/4\",\"across\":\"\"}}"
    ));
    let aim = format!(
        "{{\"do\":\"aim\",\"bed\":\"twin\",\"drop\":\"12\",\"tuck\":\"0\",\"turned\":{turned}}}"
    );
    assert_eq!(studio.post("/quilt/1/do", &aim).0, 200);
    let only = std::env::var("STUDIO_ONLY").unwrap_or_default();
    let screens = [
        ("setting", "setting?chosen=b7"),
        ("setting-bed", "setting"),
        (
            "wall",
            "setting?wall=open&hold=2x2-0_n_0-0_n_1-0_n_3-0_n_2&beside=1x1-0_n_0",
        ),
        ("cutting", "cutting?chosen=p100"),
        ("sewing", "sewing?at=2"),
        ("finishing", "finishing"),
    ];
    for (size, (width, height), dim) in [
        ("desk", (1440, 900), false),
        ("tablet", (820, 1180), false),
        ("phone", (390, 844), false),
        ("desk-dim", (1440, 900), true),
        ("phone-dim", (390, 844), true),
    ] {
        browser.size(&window, width, height);
        browser.dim(&window, dim);
        for (name, path) in screens {
            if !only.is_empty() && !only.split(',').any(|one| one == name || one == size) {
                continue;
            }
            visit(&mut browser, &window, &studio, &format!("/quilt/1/{path}"));
            browser.until(
                &window,
                "[...document.images].every((i) => i.loading === 'lazy' || i.complete)",
            );
            let keep = |browser: &mut Browser, more: &str| {
                let shot = browser.shot(&window);
                std::fs::write(format!("{folder}/{size}-{name}{more}.b64"), shot)
                    .expect("the picture");
            };
            keep(&mut browser, "");
            if size == "phone" {
                for (more, of) in [("-sheet", "sheet"), ("-card", "card")] {
                    browser.eval(
                        &window,
                        &format!("document.getElementById('{of}').scrollIntoView()"),
                    );
                    keep(&mut browser, more);
                }
            }
            if name == "sewing" || name == "cutting" {
                browser.click(&window, "[data-comfort='table']");
                keep(&mut browser, "-filled");
                browser.click(&window, "[data-comfort='table']");
            }
        }
    }
    browser.dim(&window, false);
    browser.size(&window, 1024, 768);
    browser.eval(&window, "localStorage.setItem('letters', 'room')");
    for name in ["sewing", "setting"] {
        visit(&mut browser, &window, &studio, &format!("/quilt/1/{name}"));
        let shot = browser.shot(&window);
        std::fs::write(format!("{folder}/room-{name}.b64"), shot).expect("the picture");
    }
    browser.eval(&window, "localStorage.setItem('letters', 'book')");
    for name in ["setting", "cutting", "sewing", "finishing"] {
        visit(&mut browser, &window, &studio, &format!("/quilt/1/{name}"));
        browser.eval(&window, "dispatchEvent(new Event('beforeprint'))");
        let paper = browser.of(&window, "Page.printToPDF", &json!({}));
        let data = paper["data"].as_str().unwrap_or_default();
        std::fs::write(format!("{folder}/paper-{name}.pdf.b64"), data).expect("the paper");
    }
}
