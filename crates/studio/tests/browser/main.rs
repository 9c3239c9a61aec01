//! The studio in a real browser: the whole job, the keyboard, touch, small screens, and an
//! audit of every screen.

#[path = "../running/mod.rs"]
mod running;

mod audit;
mod board;
mod cloth;
mod driver;
mod measured;
mod pages;
mod shots;
mod small;
mod tables;
mod walk;
mod whole;

use driver::{Browser, Window};
use running::Running;

/// A browser with one window, let in at the door.
fn entered(studio: &Running, width: u32, height: u32) -> (Browser, Window) {
    let mut browser = Browser::start();
    let window = browser.window(width, height);
    let door = format!("http://127.0.0.1:{}/open?key={}", studio.port, studio.key);
    browser.go(&window, &door);
    (browser, window)
}

fn visit(browser: &mut Browser, window: &Window, studio: &Running, path: &str) {
    let address = format!("http://127.0.0.1:{}{path}", studio.port);
    browser.go(window, &address);
}

/// Waits until a gesture is shown, its sheets too.
fn shown(browser: &mut Browser, window: &Window, turned: u32) {
    let expression = format!(
        "document.documentElement.dataset.shown === '{turned}' && document.documentElement.dataset.sheet === '{turned}'"
    );
    browser.until(window, &expression);
}

/// The words of an element.
fn words(browser: &mut Browser, window: &Window, selector: &str) -> String {
    let script = format!("document.querySelector({selector:?})?.textContent ?? ''");
    let words = browser.eval(window, &script);
    words.as_str().unwrap_or_default().to_owned()
}

/// Where a point of the picture lies in the window: shares of its width and height.
fn in_picture(browser: &mut Browser, window: &Window, x: f64, y: f64) -> (f64, f64) {
    let at = browser.eval(
        window,
        &format!(
            "(() => {{ const r = document.getElementById('quilt').getBoundingClientRect(); \
             return [r.left + r.width * {x}, r.top + r.height * {y}]; }})()"
        ),
    );
    (
        at[0].as_f64().unwrap_or_default(),
        at[1].as_f64().unwrap_or_default(),
    )
}
