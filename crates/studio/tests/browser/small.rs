//! Small screens, touch, large letters, a dim room.

use serde_json::json;

use crate::running::Running;
use crate::{entered, in_picture, shown, visit, words};

const SCREENS: [&str; 11] = [
    "/",
    "/quilt/1/block",
    "/quilt/1/cloth?cloth=1",
    "/quilt/1/cloth?look=photos&photo=1",
    "/quilt/1/cloth?look=values",
    "/quilt/1/cloth?look=ramps",
    "/quilt/1/setting?wall=open&chosen=p100",
    "/quilt/1/cutting",
    "/quilt/1/sewing",
    "/quilt/1/finishing",
    "/quilt/1/booklet",
];

/// A photograph on the table, so that its screen has one to show.
fn bring(studio: &Running) {
    let png = crate::running::cloth_png(300, 200, 40);
    assert_eq!(
        studio.bring("/quilt/1/photo?kind=cloth&name=check", &png).0,
        200
    );
}

#[test]
fn nothing_runs_off_sideways() {
    let studio = Running::start();
    bring(&studio);
    let (mut browser, window) = entered(&studio, 360, 740);
    // A phone; the narrowest of WCAG 1.4.10; a desk at 200 % and at 400 %.
    for (width, height) in [(360, 740), (320, 640), (720, 450), (360, 225)] {
        browser.size(&window, width, height);
        for path in SCREENS {
            visit(&mut browser, &window, &studio, path);
            let wide = browser.eval(&window, "document.documentElement.scrollWidth");
            assert!(
                wide.as_u64() <= Some(u64::from(width)),
                "{path} at {width}: {wide} wide"
            );
        }
    }
}

#[test]
fn larger_letters_lose_nothing() {
    let studio = Running::start();
    bring(&studio);
    let (mut browser, window) = entered(&studio, 1024, 768);
    visit(&mut browser, &window, &studio, "/quilt/1/sewing");
    let size = |of: &serde_json::Value| of.as_str().map(str::to_owned).unwrap_or_default();
    let letters = "getComputedStyle(document.body).fontSize";
    assert_eq!(size(&browser.eval(&window, letters)), "20px");
    browser.click(&window, "[data-comfort='letters']");
    browser.click(&window, "[data-comfort='letters']");
    assert_eq!(size(&browser.eval(&window, letters)), "40px");
    for path in SCREENS {
        visit(&mut browser, &window, &studio, path);
        let wide = browser.eval(&window, "document.documentElement.scrollWidth");
        assert!(wide.as_u64() <= Some(1024), "{path}: {wide} wide");
    }
}

#[test]
fn a_finger_chooses_turns_and_ticks() {
    let studio = Running::start();
    bring(&studio);
    let (mut browser, window) = entered(&studio, 360, 740);
    browser.of(
        &window,
        "Emulation.setTouchEmulationEnabled",
        &json!({ "enabled": true, "maxTouchPoints": 1 }),
    );
    visit(&mut browser, &window, &studio, "/quilt/1/setting");
    browser.eval(
        &window,
        "document.getElementById('frame').scrollIntoView({ block: 'center' })",
    );
    // The first tap opens the band, the second chooses.
    let (x, y) = in_picture(&mut browser, &window, 0.13, 0.13);
    browser.tap_at(&window, x, y);
    browser.until(
        &window,
        "document.getElementById('quilt').getBoundingClientRect().width > 300",
    );
    let (x, y) = in_picture(&mut browser, &window, 0.13, 0.13);
    browser.tap_at(&window, x, y);
    browser.until(&window, "document.querySelector('#card .turning') !== null");
    let (x, y) = browser.middle(&window, "#card .turning button[value='1']");
    browser.tap_at(&window, x, y);
    shown(&mut browser, &window, 1);
    visit(&mut browser, &window, &studio, "/quilt/1/cutting");
    let (x, y) = browser.middle(&window, "#step-all");
    browser.tap_at(&window, x, y);
    browser.until(
        &window,
        "document.querySelector('#card h2').textContent.startsWith('1 of')",
    );
}

#[test]
fn a_step_fills_the_screen_with_large_letters_and_buttons() {
    let studio = Running::start();
    bring(&studio);
    let (mut browser, window) = entered(&studio, 1024, 768);
    visit(&mut browser, &window, &studio, "/quilt/1/sewing");
    browser.click(&window, "[data-comfort='table']");
    let high = browser.eval(
        &window,
        "document.getElementById('step-all').getBoundingClientRect().height",
    );
    assert!(high.as_f64() >= Some(96.0), "{high}");
    let letters = browser.eval(
        &window,
        "parseFloat(getComputedStyle(document.getElementById('step-text')).fontSize)",
    );
    assert!(letters.as_f64() >= Some(40.0), "{letters}");
    let shown = words(&mut browser, &window, "#step-number");
    assert!(shown.starts_with("Step 1 of"), "{shown}");
}

#[test]
fn the_page_for_a_tablet_works_by_itself() {
    let studio = Running::start();
    bring(&studio);
    let (mut browser, window) = entered(&studio, 800, 1100);
    let page = studio.get("/quilt/1/steps.html");
    let file = studio.folder.join("steps.html");
    std::fs::write(&file, page).expect("the page is written");
    let address = format!("file://{}", file.display());
    browser.of(&window, "Page.navigate", &json!({ "url": address }));
    browser.until(&window, "document.querySelector('nav button') !== null");
    let bar = "document.querySelector('section:not([hidden]) .bar p').textContent";
    assert!(
        browser
            .eval(&window, bar)
            .as_str()
            .unwrap_or_default()
            .starts_with("Step 1 of")
    );
    browser.eval(&window, "[...document.querySelectorAll('section:not([hidden]) .bar button')].find((b) => b.textContent.startsWith('Done') || b.textContent.startsWith('All')).click()");
    assert!(
        browser
            .eval(&window, bar)
            .as_str()
            .unwrap_or_default()
            .contains("1 steps done in all")
    );
    browser.of(&window, "Page.reload", &json!({}));
    browser.until(
        &window,
        &format!("document.querySelector('nav button') !== null && {bar}.startsWith('Step 2')"),
    );
    let asked = browser.eval(&window, "performance.getEntriesByType('resource').length");
    assert_eq!(asked, 0, "the page asked for something");
}
