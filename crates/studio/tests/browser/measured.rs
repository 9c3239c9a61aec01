//! How long a gesture takes until its picture is there; printed, not asserted to the digit:
//! `cargo test --workspace --test browser measured -- --ignored --nocapture`.

use crate::running::{Running, demo};
use crate::{entered, shown, visit};

/// Gestures of each kind.
const TIMES: u32 = 24;

/// The Harbour block laid 16 by 16: about 5,100 patches.
fn tide_tables() -> studio::Brought {
    let text = demo("harbour-lights.toml")
        .text
        .replace("rows = 6", "rows = 16")
        .replace("columns = 6", "columns = 16");
    let plan = planfile::read("tide tables", &text).expect("it reads");
    assert_eq!(plan.setting.rows, 16);
    studio::Brought { text, plan }
}

#[test]
#[ignore = "figures to read"]
fn measured() {
    for (name, brought) in [
        ("Harbour Lights", demo("harbour-lights.toml")),
        ("Night Ferry", demo("night-ferry.toml")),
        ("Tide Tables", tide_tables()),
    ] {
        let studio = Running::with(Some(&brought));
        let (mut browser, window) = entered(&studio, 1440, 900);
        visit(&mut browser, &window, &studio, "/quilt/2/setting?chosen=b1");
        let ready = browser.eval(&window, "Math.round(performance.now())");
        let patches = browser.eval(
            &window,
            "document.querySelector('#sheet .facts').textContent",
        );
        let mut turned = 0;
        let mut times =
            |browser: &mut crate::driver::Browser,
             what: &str,
             go: &mut dyn FnMut(&mut crate::driver::Browser, u32)| {
                browser.eval(&window, "performance.clearMeasures()");
                for n in 0..TIMES {
                    go(browser, n);
                    turned += 1;
                    shown(browser, &window, turned);
                }
                let all = browser.eval(
                    &window,
                    "performance.getEntriesByName('gesture to picture').map((e) => e.duration)",
                );
                let mut all: Vec<f64> = all
                    .as_array()
                    .into_iter()
                    .flatten()
                    .filter_map(serde_json::Value::as_f64)
                    .collect();
                all.sort_by(f64::total_cmp);
                let at = |share: usize| {
                    all.get((all.len() - 1) * share / 100)
                        .copied()
                        .unwrap_or(0.0)
                };
                println!(
                    "{name}: {what}: median {:.0} ms, 95 % {:.0} ms, {} times",
                    at(50),
                    at(95),
                    all.len()
                );
            };
        println!(
            "{name}: {} page to usable {ready} ms",
            patches.as_str().unwrap_or_default()
        );
        times(&mut browser, "turn a block", &mut |browser, _| {
            browser.click(&window, "#card .turning button[value='1']")
        });
        visit(&mut browser, &window, &studio, "/quilt/2/cloth?chosen=p200");
        times(&mut browser, "lay cloth", &mut |browser, _| {
            // Another one than lies there.
            browser.eval(
                &window,
                "(() => { const s = document.getElementById('lay-cloth'); s.selectedIndex = (s.selectedIndex + 1) % s.options.length; })()",
            );
            browser.click(&window, "form[data-deed='lay'] button.main");
        });
        let memory = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
        let peak = memory.lines().find(|line| line.starts_with("VmHWM"));
        println!("{name}: this process at most {}", peak.unwrap_or_default());
    }
}
