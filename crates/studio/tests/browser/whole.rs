//! The whole job in one walk, from an empty plan to the printed booklet: a block of nested
//! squares with four arms, cloth from photographs, a ramp along the arms, a setting chosen
//! for its whole figures, the cutting read, steps ticked off, the pages printed.

use crate::running::Running;
use crate::{entered, shown, visit, words};

/// Photographs of cloth, drawn by the page itself and dropped on the sheet: a little weave,
/// so that they are no drawings, each in a colour and lightness of its own.
const DROP: &str = "(async () => { \
    const made = async (name, rgb) => { const c = new OffscreenCanvas(360, 300); const p = c.getContext('2d'); \
      const d = p.createImageData(360, 300); \
      for (let i = 0; i < 360 * 300; i += 1) { const w = ((i % 360) * 7 + Math.floor(i / 360) * 13) % 9 - 4; \
        for (let k = 0; k < 3; k += 1) d.data[4 * i + k] = rgb[k] + w; d.data[4 * i + 3] = 255; } \
      p.putImageData(d, 0, 0); \
      return new File([await c.convertToBlob({ type: 'image/png' })], `${name}.png`, { type: 'image/png' }); }; \
    const all = new DataTransfer(); \
    for (const [name, rgb] of [['slate deep', [34, 44, 58]], ['slate', [82, 98, 118]], ['rust', [150, 84, 52]], ['sand', [206, 182, 142]], ['chalk', [238, 232, 220]]]) all.items.add(await made(name, rgb)); \
    document.getElementById('sheet').dispatchEvent(new DragEvent('drop', { dataTransfer: all, bubbles: true, cancelable: true })); })()";

#[test]
fn from_an_empty_plan_to_the_printed_booklet() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    let (b, w) = (&mut browser, &window);
    b.write(w, "#begin-title", "Evening Tide");
    b.click(w, "form[data-deed='begin'] button");
    b.until(w, "location.pathname === '/quilt/2/block' && document.documentElement.dataset.ready === 'yes'");

    // The block: nested squares, laid in one gesture.
    b.click(w, "#lay-nested");
    b.until(w, "document.querySelector('#lay-it') !== null");
    b.click(w, "#lay-it");
    shown(b, w, 1);
    let verdict = words(b, w, "#verdict");
    assert!(verdict.contains("17 patches"), "{verdict}");
    assert!(verdict.contains("straight seams"), "{verdict}");

    // The cloth: five photographs, each read and taken.
    visit(b, w, &studio, "/quilt/2/cloth?look=photos");
    b.eval(w, DROP);
    b.until(w, "document.querySelectorAll('.photos li').length === 5");
    let mut seen = String::new();
    for n in 1..=5_u32 {
        b.click(w, &format!(".photos li:nth-child({n}) a"));
        // Whichever it is in the list, it is that one that is read.
        let read = "(() => { const asked = new URLSearchParams(location.search).get('photo'); \
                    const read = document.querySelector('#measured[data-read=yes]'); \
                    return read?.dataset.photo === asked && seen !== asked && document.querySelector('form[data-deed=take-cloth] button.main') !== null; })()";
        b.until(w, &read.replace("seen", &format!("'{seen}'")));
        let asked = "new URLSearchParams(location.search).get('photo')";
        seen = b.eval(w, asked).as_str().unwrap_or_default().to_owned();
        b.click(w, "form[data-deed='take-cloth'] button.main");
        shown(b, w, 1 + n);
    }
    let plan = studio.get("/quilt/2/plan.toml");
    let taken = plan.matches("photo = \"photos/").count();
    assert_eq!(taken, 5, "{plan}");

    // A ramp along the four arms, laid as one gesture.
    visit(b, w, &studio, "/quilt/2/cloth?look=ramps");
    b.click(w, "form[data-deed='ramp'] button.main");
    shown(b, w, 7);
    b.until(w, "document.querySelector('#lay-ramp-0') !== null");
    let ramp = words(b, w, "section.ramp");
    assert!(ramp.contains("Round 4") && ramp.contains("arm 4"), "{ramp}");
    b.click(w, "#lay-ramp-0");
    shown(b, w, 8);

    // A setting, chosen for whole figures of what the arms end in.
    visit(b, w, &studio, "/quilt/2/setting?wall=open&ask=whole&of=0");
    let wall = words(b, w, "#wall");
    assert!(wall.contains("whole"), "{wall}");
    b.click(w, "#wall li button:not([disabled])");
    shown(b, w, 9);

    // The cutting is read; a step of it and one of the sewing are ticked off.
    let mut turned = 9;
    for screen in ["cutting", "sewing"] {
        visit(b, w, &studio, &format!("/quilt/2/{screen}"));
        let step = words(b, w, "#step-text");
        assert!(!step.is_empty());
        b.click(w, "#step-all");
        turned += 1;
        shown(b, w, turned);
        let done = words(b, w, "#tape a[aria-current] .so-far");
        assert!(!done.contains("not begun"), "{screen}: {done}");
    }

    // The booklet: looked through, then printed.
    visit(b, w, &studio, "/quilt/2/booklet");
    b.until(w, "document.querySelectorAll('.leaves li').length > 8");
    let pages = words(b, w, ".leaves");
    for part in ["Cover", "Cutting", "Templates"] {
        assert!(pages.contains(part), "no {part} in {pages}");
    }
    let pdf = studio.file("/quilt/2/booklet.pdf");
    assert!(
        pdf.starts_with(b"%PDF-1.7") && pdf.len() > 100_000,
        "{}",
        pdf.len()
    );

    // Every gesture stands in the history, and the first can be gone back to.
    let history = words(b, w, "#history");
    for said in ["Begin the quilt", "Lay the ramp", "Tick "] {
        assert!(history.contains(said), "no {said} in {history}");
    }
    let hosts = b.eval(
        w,
        "[...new Set(performance.getEntriesByType('resource').map((e) => new URL(e.name).host))]",
    );
    assert_eq!(
        hosts,
        serde_json::json!([format!("127.0.0.1:{}", studio.port)])
    );
}
