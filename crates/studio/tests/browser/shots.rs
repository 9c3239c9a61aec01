//! Pictures of every screen, to look at: `cargo test -p studio --test browser shots -- --ignored`
//! with `STUDIO_SHOTS` naming the folder they go to.

use crate::driver::Browser;
use crate::running::{Running, cloth_png, demo};

const SCREENS: [(&str, &str); 15] = [
    ("block", "block"),
    ("cloth", "cloth?cloth=3&chosen=p200"),
    ("photo", "cloth?look=photos&photo=1"),
    ("values", "cloth?look=values"),
    ("ramps", "cloth?look=ramps"),
    ("setting", "setting?chosen=b7"),
    ("wall", "setting?wall=open"),
    (
        "held",
        "setting?wall=open&hold=2x2-0_n_0-0_n_0-0_n_0-0_n_1&beside=2x2-0_n_0-0_n_0-0_n_1-0_n_1",
    ),
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
    let path = "/quilt/2/photo?kind=cloth&name=rust%20check.png";
    assert_eq!(studio.bring(path, &cloth_png(900, 640, 60)).0, 200);
    let marks = "{\"photo\":1,\"ruler\":\"150 320 750 320\",\"length\":\"10 in\"}";
    assert_eq!(studio.post("/quilt/2/marks", marks).0, 200);
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
        ("upright", (820, 1180), false),
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
                "document.querySelector('[data-errand], #measured:not([data-read])') === null && [...document.images].every((i) => i.loading === 'lazy' || i.complete)",
            );
            // What the picture is of.
            browser.eval(&window, "document.getElementById('wall')?.scrollIntoView()");
            let shot = browser.shot(&window);
            std::fs::write(format!("{folder}/{size}-{name}.b64"), shot).expect("the picture");
        }
    }
}
