//! What is waited for: the booklet's pages looked through and printed in parts, the wall of
//! settings stopped half-way.

use crate::running::{Running, demo};
use crate::{entered, visit, words};

#[test]
fn pages_are_read_before_they_are_printed_and_parts_left_out() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    visit(&mut browser, &window, &studio, "/quilt/1/booklet");
    browser.until(
        &window,
        "document.querySelectorAll('.leaves li').length > 8",
    );
    let all = browser.eval(&window, "document.querySelectorAll('.leaves li').length");
    assert!(words(&mut browser, &window, ".leaves").contains("1 · Cover"));
    // A page, large enough to read, and the one after it.
    browser.click(&window, "#leaf-2");
    browser.until(
        &window,
        "document.querySelector('#leaf h2')?.textContent.startsWith('Page 3 of')",
    );
    browser.click(&window, "#leaf-after");
    browser.until(
        &window,
        "document.querySelector('#leaf h2')?.textContent.startsWith('Page 4 of')",
    );
    browser.until(
        &window,
        "document.querySelector('img.leaf').naturalWidth > 900",
    );
    // Only what is cut and how it is sewn.
    browser.eval(&window, "document.getElementById('parts').open = true");
    for part in [
        "cloth",
        "choosing",
        "blocks",
        "setting",
        "turns",
        "finishing",
        "colouring",
        "templates",
    ] {
        browser.click(&window, &format!("#part-{part}"));
    }
    browser.until(
        &window,
        &format!("location.search.includes('parts=cutting-sewing') && document.querySelectorAll('.leaves li').length > 1 && document.querySelectorAll('.leaves li').length < {all}"),
    );
    let titles = words(&mut browser, &window, ".leaves");
    assert!(
        titles.contains("Cutting") && !titles.contains("Finishing"),
        "{titles}"
    );
    // What is printed is what was looked at, and what the booklet itself makes of these parts.
    let few = browser.eval(&window, "document.querySelectorAll('.leaves li').length");
    let link = browser.eval(
        &window,
        "document.getElementById('booklet-pdf').getAttribute('href')",
    );
    let link = link.as_str().expect("a link").to_owned();
    assert!(link.ends_with("booklet.pdf?parts=cutting-sewing"), "{link}");
    let bytes = browser.eval(
        &window,
        &format!("fetch('{link}').then((a) => a.arrayBuffer()).then((b) => b.byteLength)"),
    );
    let plan = demo("harbour-lights.toml").plan;
    let results = quilt::results::work_out(&plan, None);
    let parts = [booklet::Part::Cutting, booklet::Part::Sewing];
    let set = booklet::Booklet::set(&plan, &results, &parts.into_iter().collect());
    let set = set.expect("the pages are set");
    assert_eq!(few, set.leaves().len());
    assert_eq!(bytes, set.pdf().expect("they print").len());
    // Parts are kept when something else is looked at.
    assert!(words(&mut browser, &window, "#parts").contains("Templates at true size"));
}

#[test]
fn an_edit_has_the_pages_set_again() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    visit(&mut browser, &window, &studio, "/quilt/1/booklet");
    browser.until(
        &window,
        "document.querySelectorAll('.leaves li').length > 8",
    );
    browser.write(&window, "#title-field", "Lights Again");
    browser.click(&window, "form[data-deed='name'] button");
    browser.until(
        &window,
        "document.querySelector('.leaves img')?.src.endsWith('v=1')",
    );
    browser.until(
        &window,
        "document.querySelector('.leaves img').naturalWidth > 100",
    );
}

#[test]
fn a_long_search_tells_how_far_it_is_and_can_be_stopped() {
    let studio = Running::with(Some(&demo("harbour-lights.toml")));
    let (mut browser, window) = entered(&studio, 1440, 900);
    visit(&mut browser, &window, &studio, "/quilt/2/setting?wall=open");
    browser.until(&window, "document.querySelectorAll('#wall li').length > 8");
    // Slow enough to be seen: the answer that the work is done is held back.
    browser.eval(&window, "(() => { const f = window.fetch; window.fetch = async (a, ...r) => { const held = String(a).includes('errand=') ; const answer = await f(a, ...r); if (held) await new Promise((go) => { window.letGo = go; }); return answer; }; })()");
    browser.click(&window, "a[href*='repeat=3']");
    browser.until(
        &window,
        "document.querySelector('#wall [data-stop]') !== null",
    );
    let says = words(&mut browser, &window, "#wall .waiting");
    assert!(says.contains("Stop and keep the best so far"), "{says}");
    browser.click(&window, "#wall [data-stop]");
    browser.until(
        &window,
        "document.getElementById('status').textContent.startsWith('Stopping')",
    );
    browser.until(&window, "window.letGo !== undefined");
    browser.eval(&window, "window.letGo()");
    browser.until(
        &window,
        "document.querySelectorAll('#wall li img').length === 12",
    );
}

#[test]
fn work_that_is_told_to_stop_keeps_the_best_so_far() {
    let studio = Running::start();
    // Said before the work begins, it finds nothing to stop.
    let (status, said) = studio.post("/errand/mine/stop", "{}");
    assert_eq!((status, said.as_str()), (200, "{\"stopped\":false}"));
    let (port, key) = (studio.port, studio.key.clone());
    let stopper = std::thread::spawn(move || {
        // Until it has begun.
        for _ in 0..20_000 {
            let (_, said) = crate::running::post(port, &key, "/errand/mine/stop", "{}");
            if said.contains("true") {
                return true;
            }
        }
        false
    });
    let said = studio.get("/quilt/1/wall?repeat=3&wall=open&errand=mine");
    assert_eq!(said, "{\"stopped\":false}");
    assert!(
        stopper.join().expect("it ends"),
        "there was something to stop"
    );
    let page = studio.get("/quilt/1/setting?repeat=3&wall=open");
    assert!(
        page.contains("Stopped after "),
        "the page says where it was stopped"
    );
}
