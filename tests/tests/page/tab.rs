//! One tab: what a thumb, a key and an eye do.

use serde_json::{Value, json};

use crate::browser::Browser;

pub(crate) struct Tab<'a> {
    browser: &'a mut Browser,
    session: String,
    /// Pages run no script: nothing can be waited for within one.
    still: bool,
    /// How often something was tapped.
    pub(crate) taps: u32,
}

impl<'a> Tab<'a> {
    pub(crate) const fn new(browser: &'a mut Browser, session: String) -> Self {
        Self { browser, session, still: false, taps: 0 }
    }

    pub(crate) fn call(&mut self, method: &str, params: Value) -> Value {
        self.browser.call(&self.session, method, params)
    }

    /// So many CSS pixels.
    pub(crate) fn size(&mut self, width: u32, height: u32) {
        self.call(
            "Emulation.setDeviceMetricsOverride",
            json!({"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600}),
        );
    }

    /// A media feature, such as `prefers-color-scheme` as `dark`.
    pub(crate) fn prefers(&mut self, features: &[(&str, &str)]) {
        let features: Vec<Value> =
            features.iter().map(|(name, value)| json!({"name": name, "value": value})).collect();
        self.call("Emulation.setEmulatedMedia", json!({"features": features}));
    }

    /// Goes to an address, and waits until it is loaded.
    pub(crate) fn go(&mut self, address: &str) {
        self.call("Page.navigate", json!({"url": address}));
        self.browser.event(&self.session, "Page.loadEventFired");
    }

    /// The value of an expression.
    pub(crate) fn eval(&mut self, script: &str) -> Value {
        loop {
            let params =
                json!({"expression": script, "awaitPromise": !self.still, "returnByValue": true});
            match self.browser.try_call(&self.session, "Runtime.evaluate", params) {
                Ok(answer) if answer["exceptionDetails"].is_null() => {
                    return answer["result"]["value"].clone();
                }
                Ok(answer) => panic!("{script}: {}", answer["exceptionDetails"]),
                // The page it was asked of has been left for another, which is asked anew.
                Err(wrong) if wrong.contains("navigated") || wrong.contains("context") => {}
                Err(wrong) => panic!("{script}: {wrong}"),
            }
        }
    }

    /// Waits until something holds of the page, looking whenever it changes.
    pub(crate) fn until(&mut self, holds: &str) {
        if self.still {
            let seen = self.eval(&format!("Boolean({holds})"));
            assert_eq!(seen, true, "{holds}: {}", self.text());
            return;
        }
        let script = format!(
            "new Promise((done, fail) => {{
                const seen = () => {{ try {{ return {holds}; }} catch {{ return false; }} }};
                if (seen()) return done(true);
                const watch = new MutationObserver(() => {{
                    if (seen()) {{ watch.disconnect(); done(true); }}
                }});
                watch.observe(document, {{
                    subtree: true, childList: true, attributes: true, characterData: true,
                }});
                const input = () => {{ if (seen()) {{ watch.disconnect(); done(true); }} }};
                document.addEventListener('input', input, true);
                document.addEventListener('load', input, true);
                setTimeout(() => fail(new Error(document.body.innerText)), 30000);
            }})"
        );
        self.eval(&script);
    }

    /// Waits until a text can be read.
    pub(crate) fn reads(&mut self, text: &str) {
        self.until(&format!("document.body.innerText.includes({})", json!(text)));
    }

    /// What can be read.
    pub(crate) fn text(&mut self) -> String {
        self.eval("document.body.innerText").as_str().unwrap().to_owned()
    }

    /// Taps the middle of what a selector finds first, as a thumb does.
    pub(crate) fn tap(&mut self, selector: &str) {
        let found = format!("document.querySelector({})", json!(selector));
        self.until(&format!("{found} !== null"));
        self.tap_found(&found);
    }

    /// Taps the key with this text.
    pub(crate) fn tap_key(&mut self, text: &str) {
        let found = format!(
            "[...document.querySelectorAll('button, a, summary')].find((key) => \
             key.checkVisibility() && key.textContent.trim() === {})",
            json!(text)
        );
        self.until(&format!("Boolean({found})"));
        self.tap_found(&found);
    }

    fn tap_found(&mut self, found: &str) {
        let at = self.eval(&format!(
            "(() => {{ const it = {found}; it.scrollIntoView({{block: 'center', behavior: 'instant'}});
                const box = it.getBoundingClientRect();
                const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
                const hit = document.elementFromPoint(x, y);
                const there = hit && (it.contains(hit) || hit.contains(it) || (it.closest('label') && hit.closest('label') === it.closest('label')));
                return {{x, y, there: Boolean(there), hit: hit ? hit.outerHTML.slice(0, 200) : ''}}; }})()"
        ));
        assert_eq!(at["there"], true, "{found} is covered by {}", at["hit"]);
        for kind in ["mousePressed", "mouseReleased"] {
            self.call(
                "Input.dispatchMouseEvent",
                json!({"type": kind, "x": at["x"], "y": at["y"], "button": "left", "clickCount": 1}),
            );
        }
        self.taps += 1;
    }

    /// Writes into a field as a hand does: it is tapped, emptied and typed into.
    pub(crate) fn fill(&mut self, selector: &str, text: &str) {
        self.tap(selector);
        self.eval(&format!("document.querySelector({}).select?.()", json!(selector)));
        self.types(text);
    }

    /// Chooses of a list.
    pub(crate) fn choose(&mut self, selector: &str, value: &str) {
        self.eval(&format!(
            "(() => {{ const list = document.querySelector({}); list.value = {};
                list.dispatchEvent(new Event('input', {{bubbles: true}})); }})()",
            json!(selector),
            json!(value)
        ));
    }

    /// Gives a file to a field of files.
    pub(crate) fn file(&mut self, selector: &str, path: &std::path::Path) {
        let document = self.call("DOM.getDocument", json!({}));
        let found = self.call(
            "DOM.querySelector",
            json!({"nodeId": document["root"]["nodeId"], "selector": selector}),
        );
        self.call(
            "DOM.setFileInputFiles",
            json!({"files": [path.display().to_string()], "nodeId": found["nodeId"]}),
        );
    }

    /// Lets no script run on pages from now on, or lets it again.
    pub(crate) fn scripts(&mut self, run: bool) {
        self.still = !run;
        self.call("Emulation.setScriptExecutionDisabled", json!({"value": !run}));
    }

    /// Waits for the next page.
    pub(crate) fn loaded(&mut self) {
        self.browser.event(&self.session, "Page.loadEventFired");
    }

    /// Types into what has the focus.
    pub(crate) fn types(&mut self, text: &str) {
        self.call("Input.insertText", json!({"text": text}));
    }

    /// Presses a key such as `Tab` or `Enter`.
    pub(crate) fn key(&mut self, key: &str) {
        let (code, text) = match key {
            "Enter" => (13, "\r"),
            "Tab" => (9, ""),
            " " => (32, " "),
            "Escape" => (27, ""),
            _ => (0, ""),
        };
        let mut down =
            json!({"type": "keyDown", "key": key, "code": key, "windowsVirtualKeyCode": code});
        if !text.is_empty() {
            down["text"] = json!(text);
        }
        self.call("Input.dispatchKeyEvent", down);
        let up = json!({"type": "keyUp", "key": key, "code": key, "windowsVirtualKeyCode": code});
        self.call("Input.dispatchKeyEvent", up);
    }

    /// What the console complained of.
    pub(crate) fn complaints(&mut self) -> Vec<String> {
        // A call takes up what is on its way.
        self.eval("true");
        self.browser.complaints(&self.session)
    }

    /// Leaves a screenshot, if somebody wants to look.
    pub(crate) fn picture(&mut self, name: &str) {
        let Ok(folder) = std::env::var("PICTURES") else { return };
        let picture = self.call("Page.captureScreenshot", json!({"format": "png"}));
        let bytes = base64(picture["data"].as_str().unwrap());
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::write(format!("{folder}/{name}.png"), bytes).unwrap();
    }
}

/// The bytes of a text in base64, as the browser writes it.
fn base64(text: &str) -> Vec<u8> {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let (mut bytes, mut bits, mut held) = (Vec::new(), 0_u32, 0_u32);
    for letter in text.bytes() {
        let Some(value) = LETTERS.iter().position(|known| *known == letter) else { continue };
        bits = (bits << 6) | u32::try_from(value).unwrap();
        held += 6;
        if held >= 8 {
            held -= 8;
            bytes.push(u8::try_from((bits >> held) & 0xff).unwrap());
        }
    }
    bytes
}
