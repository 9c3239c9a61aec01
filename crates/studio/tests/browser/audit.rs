//! An audit of every screen by rules of our own, after WCAG 2.2 AA and the sizes a sewing
//! room asks for: names, roles, contrast as computed, sizes of targets, headings, ids.
//!
//! It finds what can be measured; it does not judge whether words say enough.

use crate::driver::{Browser, Window};
use crate::running::Running;
use crate::{entered, visit};

/// Runs in the page; the faults it finds, each a sentence.
const RULES: &str = r"(() => {
  const faults = [];
  const tell = (rule, e) => faults.push(`${rule}: <${e.tagName.toLowerCase()} id='${e.id}' class='${e.className.baseVal ?? e.className}'> ${(e.textContent ?? '').trim().slice(0, 40)}`);
  const seen = (e) => e.checkVisibility({ checkOpacity: true, checkVisibilityCSS: true });
  const name = (e) => {
    const by = e.getAttribute('aria-labelledby');
    if (by) return document.getElementById(by)?.textContent ?? '';
    if (e.getAttribute('aria-label')) return e.getAttribute('aria-label');
    if (e.labels?.length) return [...e.labels].map((l) => l.textContent).join(' ');
    if (e.tagName === 'IMG') return e.getAttribute('alt') ?? '';
    return e.textContent ?? '';
  };
  const rgb = (text) => {
    const n = text.match(/[\d.]+/g)?.map(Number) ?? [0, 0, 0, 0];
    return { c: n.slice(0, 3), a: n.length > 3 ? n[3] : 1 };
  };
  const light = ([r, g, b]) => {
    const one = (v) => { const x = v / 255; return x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4; };
    return 0.2126 * one(r) + 0.7152 * one(g) + 0.0722 * one(b);
  };
  const ground = (e) => {
    for (let at = e; at; at = at.parentElement) {
      const { c, a } = rgb(getComputedStyle(at).backgroundColor);
      if (a === 1) return c;
      if (a > 0) return null;
    }
    return [255, 255, 255];
  };
  const contrast = (a, b) => {
    const [x, y] = [light(a), light(b)].sort((p, q) => q - p);
    return (x + 0.05) / (y + 0.05);
  };
  const all = [...document.body.querySelectorAll('*')];
  const controls = all.filter((e) => e.matches('a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]:not([tabindex=\'-1\'])'));
  for (const e of controls.filter(seen)) {
    if (!name(e).trim()) tell('no name', e);
    const label = e.matches('input[type=radio], input[type=checkbox]') ? e.closest('label') : e;
    if (e.closest('#cells') || e.matches('.skip, pre, svg') || e.disabled) continue;
    const box = label.getBoundingClientRect();
    if (box.width < 44 || box.height < 44) tell(`small target ${Math.round(box.width)} by ${Math.round(box.height)}`, e);
    if (box.height < 55.5 && !e.matches('input[type=file]')) tell(`lower than 56: ${Math.round(box.height)}`, e);
  }
  for (const e of all.filter((x) => x.matches('img'))) if (!e.hasAttribute('alt')) tell('no alt', e);
  const ids = all.map((e) => e.id).filter(Boolean);
  for (const id of new Set(ids)) if (ids.filter((i) => i === id).length > 1) faults.push(`id twice: ${id}`);
  for (const e of all.filter((x) => x.hasAttribute('for'))) if (!document.getElementById(e.getAttribute('for'))) tell('label for nothing', e);
  for (const e of all.filter(seen)) {
    const own = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
    if (!own || e.closest('svg, noscript, .unseen, canvas')) continue;
    const style = getComputedStyle(e);
    const back = ground(e);
    if (!back) continue;
    const ratio = contrast(rgb(style.color).c, back);
    if (ratio < 7) tell(`contrast ${ratio.toFixed(2)}`, e);
    if (parseFloat(style.fontSize) < 16.9) tell(`letters ${style.fontSize}`, e);
  }
  for (const e of controls.filter((x) => seen(x) && x.matches('button, select, input:not([type=radio], [type=checkbox])') && !x.closest('#cells'))) {
    const edge = contrast(rgb(getComputedStyle(e).borderTopColor).c, ground(e.parentElement) ?? [255, 255, 255]);
    if (edge < 3) tell(`edge ${edge.toFixed(2)}`, e);
  }
  let level = 0;
  for (const e of all.filter((x) => /^H[1-6]$/.test(x.tagName) && seen(x))) {
    const now = Number(e.tagName[1]);
    if (now > level + 1) tell(`heading ${now} after ${level}`, e);
    level = now;
  }
  if (document.querySelectorAll('main').length !== 1) faults.push('not one main');
  if (document.querySelectorAll('h1').length !== 1) faults.push('not one h1');
  if (!document.documentElement.lang) faults.push('no language');
  if (!document.title.trim()) faults.push('no title');
  if (!document.querySelector('[role=status][aria-live=polite]') ) faults.push('no status line');
  for (const e of all.filter((x) => x.matches('[role=row]'))) if (!e.parentElement.matches('[role=grid]')) tell('row outside a grid', e);
  for (const e of all.filter((x) => x.matches('[role=gridcell]'))) if (!e.parentElement.matches('[role=row]')) tell('cell outside a row', e);
  const order = ['picture', 'sheet', 'card', 'tape'].map((id) => document.getElementById(id)).filter(Boolean);
  for (let i = 1; i < order.length; i += 1) {
    if (!(order[i - 1].compareDocumentPosition(order[i]) & 4)) tell('out of order', order[i]);
  }
  return faults;
})()";

const SCREENS: [&str; 14] = [
    "/",
    "/quilt/1/block",
    "/quilt/2/block?block=0&piece=0",
    "/quilt/1/cloth?cloth=1&chosen=p100",
    "/quilt/1/cloth?look=photos&photo=1",
    "/quilt/1/cloth?look=values",
    "/quilt/1/cloth?look=ramps",
    "/quilt/1/setting?wall=open&chosen=b3",
    "/quilt/1/setting?chosen=p100",
    "/quilt/1/cutting",
    "/quilt/1/sewing",
    "/quilt/1/finishing",
    "/quilt/1/booklet",
    "/quilt/1/booklet?leaf=2",
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
fn every_screen_in_the_light_and_in_the_dim_room() {
    let studio = Running::start();
    bring(&studio);
    let begun = "{\"do\":\"begin\",\"title\":\"To audit\",\"measure\":\"inch\",\"across\":\"4\"}";
    assert_eq!(studio.post("/shelf", begun).0, 200);
    let (mut browser, window) = entered(&studio, 1440, 900);
    let mut faults = Vec::new();
    for (width, height, dim) in [(1440, 900, false), (1440, 900, true), (360, 740, false)] {
        browser.size(&window, width, height);
        browser.dim(&window, dim);
        for path in SCREENS {
            visit(&mut browser, &window, &studio, path);
            // What is folded is audited too.
            browser.eval(
                &window,
                "document.querySelectorAll('details').forEach((d) => { d.open = true; })",
            );
            let found = browser.eval(&window, RULES);
            for fault in found.as_array().into_iter().flatten() {
                faults.push(format!(
                    "{path} at {width}, dim {dim}: {}",
                    fault.as_str().unwrap_or_default()
                ));
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

/// What another auditor (axe-core, at the WCAG 2.2 AA rules and its own best practice)
/// finds on a page: its rules, and the first place of each.
fn by_another(browser: &mut Browser, window: &Window, auditor: &str) -> Vec<String> {
    if browser.eval(window, "typeof axe") == "undefined" {
        browser.eval(window, &format!("{auditor}; undefined"));
    }
    let found = browser.eval(
        window,
        "axe.run(document, { resultTypes: ['violations'], runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }) \
         .then((r) => r.violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.target.join(' ')}: ${n.failureSummary}`)))",
    );
    let found = found.as_array().cloned().unwrap_or_default();
    found
        .iter()
        .filter_map(|fault| fault.as_str().map(str::to_owned))
        .collect()
}

#[test]
fn every_screen_stands_before_another_auditor() {
    let Some(file) = std::env::var_os("AXE_JS") else {
        eprintln!("NOT AUDITED BY AXE-CORE: `cargo xtask test` fetches it where npm is there.");
        return;
    };
    let auditor = std::fs::read_to_string(file).expect("AXE_JS names the auditor's script");
    let studio = Running::start();
    bring(&studio);
    let begun = "{\"do\":\"begin\",\"title\":\"To audit\",\"measure\":\"inch\",\"across\":\"4\"}";
    assert_eq!(studio.post("/shelf", begun).0, 200);
    let (mut browser, window) = entered(&studio, 1440, 900);
    let mut faults = Vec::new();
    for (width, height, dim) in [(1440, 900, false), (1440, 900, true), (390, 844, false)] {
        browser.size(&window, width, height);
        browser.dim(&window, dim);
        for path in SCREENS {
            visit(&mut browser, &window, &studio, path);
            let found = by_another(&mut browser, &window, &auditor);
            let told = found
                .into_iter()
                .map(|fault| format!("{path} at {width}, dim {dim}: {fault}"));
            faults.extend(told);
        }
    }
    assert!(
        faults.is_empty(),
        "{} faults:\n{}",
        faults.len(),
        faults.join("\n")
    );
    // And it finds what is put in.
    browser.eval(
        &window,
        "document.querySelector('main').insertAdjacentHTML('beforeend', '<button></button><img src=\"/assets/icon.svg\">')",
    );
    let found = by_another(&mut browser, &window, &auditor).join("\n");
    assert!(
        found.contains("button-name") && found.contains("image-alt"),
        "{found}"
    );
}

#[test]
fn the_audit_finds_faults_that_are_put_in() {
    let studio = Running::start();
    let (mut browser, window) = entered(&studio, 1440, 900);
    browser.eval(
        &window,
        "document.querySelector('main').insertAdjacentHTML('beforeend', \
         '<button></button><img src=\"/assets/icon.svg\"><h5 id=\"status\">x</h5><p class=\"faint\">faint</p>')",
    );
    browser.eval(
        &window,
        "document.querySelector('.faint').style.color = '#aaa'",
    );
    let found = browser.eval(&window, RULES).to_string();
    for rule in ["no name", "no alt", "id twice", "heading 5", "contrast"] {
        assert!(found.contains(rule), "{rule} not in {found}");
    }
}
