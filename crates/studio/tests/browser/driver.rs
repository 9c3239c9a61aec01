//! Drives a real Chromium over its debugging pipe (Chrome DevTools Protocol): no driver
//! program, no port, no further library.
//!
//! The browser reads requests from file descriptor 3 and answers on 4, each message ended
//! by a zero byte. When the test ends, in whatever way, the pipe closes and the browser
//! goes with it.

use std::io::{BufRead as _, BufReader, Write as _};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

use serde_json::{Value, json};

use crate::running::Folder;

/// Longest wait for anything; a busy machine is slow, not wrong.
const PATIENCE: Duration = Duration::from_secs(90);

pub(crate) struct Browser {
    child: Child,
    to: ChildStdin,
    from: Receiver<Value>,
    next: u64,
    _profile: Folder,
}

pub(crate) struct Window {
    session: String,
}

impl Browser {
    pub(crate) fn start() -> Self {
        let profile = Folder::new();
        let name = std::env::var("CHROMIUM").unwrap_or_else(|_| "chromium".into());
        let flags = [
            "--headless=new",
            // Chromium does not start as root otherwise, and tests run in a container.
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--disable-dev-shm-usage",
            "--hide-scrollbars",
            "--remote-debugging-pipe",
        ];
        let line = format!(
            "exec {name} {} --user-data-dir='{}' about:blank 3<&0 4>&1 0</dev/null 1>/dev/null 2>'{1}/words'",
            flags.join(" "),
            profile.0.display()
        );
        let mut child = Command::new("sh")
            .args(["-c", &line])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("a shell to start the browser from");
        let to = child.stdin.take().expect("the way to the browser");
        let out = child.stdout.take().expect("the way back");
        let (tell, from) = channel();
        std::thread::spawn(move || {
            let mut out = BufReader::new(out);
            loop {
                let mut message = Vec::new();
                match out.read_until(0, &mut message) {
                    Ok(n) if n > 1 => {
                        message.pop();
                        let Ok(value) = serde_json::from_slice(&message) else {
                            continue;
                        };
                        if tell.send(value).is_err() {
                            return;
                        }
                    }
                    _ => return,
                }
            }
        });
        Self {
            child,
            to,
            from,
            next: 0,
            _profile: profile,
        }
    }

    fn call(&mut self, session: Option<&str>, method: &str, params: &Value) -> Value {
        self.next += 1;
        let mut message = json!({ "id": self.next, "method": method, "params": params });
        if let Some(session) = session {
            message["sessionId"] = session.into();
        }
        let mut bytes = message.to_string().into_bytes();
        bytes.push(0);
        self.to
            .write_all(&bytes)
            .expect("Chromium runs; `cargo xtask test` installs it where it is missing");
        loop {
            let answer = self.from.recv_timeout(PATIENCE).unwrap_or_else(|_| {
                panic!("Chromium did not answer {method}; `cargo xtask test` installs it where it is missing")
            });
            if answer["id"] == self.next {
                assert!(answer["error"].is_null(), "{method}: {}", answer["error"]);
                return answer["result"].clone();
            }
        }
    }

    /// A window of this size in CSS pixels.
    pub(crate) fn window(&mut self, width: u32, height: u32) -> Window {
        let target = self.call(
            None,
            "Target.createTarget",
            &json!({ "url": "about:blank" }),
        );
        let to = json!({ "targetId": target["targetId"], "flatten": true });
        let attached = self.call(None, "Target.attachToTarget", &to);
        let session = attached["sessionId"]
            .as_str()
            .expect("a session")
            .to_owned();
        let window = Window { session };
        self.of(&window, "Page.enable", &json!({}));
        self.of(&window, "Runtime.enable", &json!({}));
        let looked_at = json!({ "enabled": true });
        self.of(&window, "Emulation.setFocusEmulationEnabled", &looked_at);
        self.size(&window, width, height);
        window
    }

    pub(crate) fn of(&mut self, window: &Window, method: &str, params: &Value) -> Value {
        self.call(Some(&window.session), method, params)
    }

    pub(crate) fn size(&mut self, window: &Window, width: u32, height: u32) {
        let metrics =
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
        self.of(window, "Emulation.setDeviceMetricsOverride", &metrics);
    }

    pub(crate) fn dim(&mut self, window: &Window, dim: bool) {
        let value = if dim { "dark" } else { "light" };
        let media = json!({ "features": [{ "name": "prefers-color-scheme", "value": value }] });
        self.of(window, "Emulation.setEmulatedMedia", &media);
    }

    pub(crate) fn go(&mut self, window: &Window, address: &str) {
        let went = self.of(window, "Page.navigate", &json!({ "url": address }));
        assert!(went["errorText"].is_null(), "{address}: {went}");
        self.until(window, "document.documentElement.dataset.ready === 'yes'");
    }

    /// What an expression comes to; promises are waited for.
    pub(crate) fn eval(&mut self, window: &Window, expression: &str) -> Value {
        let asked =
            json!({ "expression": expression, "awaitPromise": true, "returnByValue": true });
        let answer = self.of(window, "Runtime.evaluate", &asked);
        assert!(
            answer["exceptionDetails"].is_null(),
            "{expression}: {}",
            answer["exceptionDetails"]
        );
        answer["result"]["value"].clone()
    }

    /// Waits until an expression is true.
    pub(crate) fn until(&mut self, window: &Window, expression: &str) {
        for _ in 0..1800 {
            let asked = json!({ "expression": expression, "returnByValue": true });
            let answer = self.of(window, "Runtime.evaluate", &asked);
            if answer["result"]["value"] == true {
                return;
            }
            std::thread::sleep(Duration::from_millis(50));
        }
        let page = self.eval(
            window,
            "location.href + '\\n' + document.body?.innerText?.slice(0, 3000)",
        );
        panic!(
            "never true: {expression}\n{}",
            page.as_str().unwrap_or_default()
        );
    }

    /// The middle of an element, scrolled to where it can be seen.
    pub(crate) fn middle(&mut self, window: &Window, selector: &str) -> (f64, f64) {
        let selector = json!(selector);
        let script = format!(
            "(() => {{ const e = document.querySelector({selector}); if (!e) return null; \
             e.scrollIntoView({{ block: 'center' }}); const r = e.getBoundingClientRect(); \
             const [x, y] = [r.left + r.width / 2, r.top + r.height / 2]; \
             const there = document.elementFromPoint(x, y); \
             const clear = there && (e.contains(there) || there.contains(e)); \
             return [x, y, clear ? '' : there?.outerHTML?.slice(0, 200) ?? 'nothing']; }})()"
        );
        let at = self.eval(window, &script);
        assert_eq!(at[2], "", "{selector} lies under something else");
        let number = |i: usize| at[i].as_f64().unwrap_or_else(|| panic!("no {selector}"));
        (number(0), number(1))
    }

    pub(crate) fn click(&mut self, window: &Window, selector: &str) {
        let (x, y) = self.middle(window, selector);
        self.click_at(window, x, y);
    }

    pub(crate) fn click_at(&mut self, window: &Window, x: f64, y: f64) {
        for kind in ["mousePressed", "mouseReleased"] {
            let event = json!({ "type": kind, "x": x, "y": y, "button": "left", "clickCount": 1 });
            self.of(window, "Input.dispatchMouseEvent", &event);
        }
    }

    pub(crate) fn tap_at(&mut self, window: &Window, x: f64, y: f64) {
        let touch = json!({ "type": "touchStart", "touchPoints": [{ "x": x, "y": y }] });
        self.of(window, "Input.dispatchTouchEvent", &touch);
        let end = json!({ "type": "touchEnd", "touchPoints": [] });
        self.of(window, "Input.dispatchTouchEvent", &end);
    }

    /// Presses a key by its name, with `Shift+`, `Control+` before it where they are held.
    pub(crate) fn key(&mut self, window: &Window, name: &str) {
        let (held, key) = name.rsplit_once('+').map_or(("", name), |(h, k)| (h, k));
        let mut modifiers = 0;
        if held.contains("Control") {
            modifiers |= 2;
        }
        if held.contains("Shift") {
            modifiers |= 8;
        }
        let code = match key {
            "Enter" => 13,
            "Tab" => 9,
            "Escape" => 27,
            "Space" => 32,
            "PageUp" => 33,
            "PageDown" => 34,
            "ArrowLeft" => 37,
            "ArrowUp" => 38,
            "ArrowRight" => 39,
            "ArrowDown" => 40,
            "F6" => 117,
            _ => u32::from(key.to_uppercase().bytes().next().unwrap_or(0)),
        };
        let text = match key {
            "Enter" => "\r",
            "Space" => " ",
            one if one.len() == 1 && modifiers & 2 == 0 => one,
            _ => "",
        };
        let key = if key == "Space" { " " } else { key };
        let down = if text.is_empty() {
            "rawKeyDown"
        } else {
            "keyDown"
        };
        for kind in [down, "keyUp"] {
            let event = json!({
                "type": kind, "key": key, "windowsVirtualKeyCode": code,
                "modifiers": modifiers, "text": if kind == "keyUp" { "" } else { text },
            });
            self.of(window, "Input.dispatchKeyEvent", &event);
        }
    }

    /// Puts words into a field as a maker would, replacing what stands there.
    pub(crate) fn write(&mut self, window: &Window, selector: &str, words: &str) {
        let (selector, words) = (json!(selector), json!(words));
        self.eval(
            window,
            &format!(
                "(() => {{ const e = document.querySelector({selector}); e.focus(); e.value = {words}; \
                 e.dispatchEvent(new Event('input', {{ bubbles: true }})); \
                 e.dispatchEvent(new Event('change', {{ bubbles: true }})); }})()"
            ),
        );
    }

    /// The window as PNG, in base64.
    pub(crate) fn shot(&mut self, window: &Window) -> String {
        let shot = self.of(
            window,
            "Page.captureScreenshot",
            &json!({ "format": "png" }),
        );
        shot["data"].as_str().unwrap_or_default().to_owned()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        // Politely first, so that it takes its own children along.
        let _ = self
            .to
            .write_all(b"{\"id\":0,\"method\":\"Browser.close\"}\0");
        for _ in 0..40 {
            if matches!(self.child.try_wait(), Ok(Some(_))) {
                return;
            }
            std::thread::sleep(Duration::from_millis(50));
        }
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
