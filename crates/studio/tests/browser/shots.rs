//! Pictures of every screen, to look at: `cargo test -p studio --test browser shots -- --ignored`
//! with `STUDIO_SHOTS` naming the folder they go to.

use crate::driver::Browser;
use crate::running::{Running, demo};

const SCREENS: [(&str, &str); 11] = [
    ("block", "block"),
    ("cloth", "cloth?cloth=3&chosen=p200"),
    ("setting", "setting?chosen=b7"),
    ("wall", "setting?wall=open"),
    ("cutting", "cutting"),
    ("sewing", "sewing"),
    ("finishing", "finishing"),
    ("booklet", "booklet"),
    ("page", "booklet?leaf=3"),
    ("patch", "setting?chosen=p100"),
    ("fresh", ""),
];

#[test]
#[ignore = "pictures to look at, not to compare"]
fn shots() {
    let folder = std::env::var("STUDIO_SHOTS").unwrap_or_else(|_| "shots".into());
    std::fs::create_dir_all(&folder).expect("a folder for the pictures");
    let studio = Running::with(Some(&demo("harbour-lights.toml")));
    let mut browser = Browser::start();
    let window = browser.window(1440, 900);
    let door = format!("http://127.0.0.1:{}/open?key={}", studio.port, studio.key);
    browser.go(&window, &door);
    let begun =
        "{\"do\":\"begin\",\"title\":\"A new quilt\",\"measure\":\"inch\",\"across\":\"4\"}";
    let (_, fresh) = studio.post("/shelf", begun);
    let fresh = fresh.split('"').nth(3).expect("an address").to_owned();
    let only = std::env::var("STUDIO_ONLY").unwrap_or_default();
    for (size, (width, height), dim) in [
        ("desk", (1440, 900), false),
        ("tablet", (1024, 768), false),
        ("phone", (360, 740), false),
        ("desk-dim", (1440, 900), true),
    ] {
        browser.size(&window, width, height);
        browser.dim(&window, dim);
        let shelf = ("shelf", "/".to_owned());
        let pages = SCREENS.iter().map(|(name, path)| {
            let path = match *path {
                "" => fresh.clone(),
                path => format!("/quilt/2/{path}"),
            };
            (*name, path)
        });
        for (name, path) in std::iter::once(shelf).chain(pages) {
            if !only.is_empty() && !only.split(',').any(|one| one == name || one == size) {
                continue;
            }
            browser.go(&window, &format!("http://127.0.0.1:{}{path}", studio.port));
            browser.until(
                &window,
                "document.querySelector('[data-errand]') === null && [...document.images].every((i) => i.loading === 'lazy' || i.complete)",
            );
            let shot = browser.shot(&window);
            std::fs::write(format!("{folder}/{size}-{name}.b64"), shot).expect("the picture");
        }
    }
}
