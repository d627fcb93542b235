//! A browser that is driven over a pipe: no driver, no port.

use std::{
    collections::VecDeque,
    io::{BufRead as _, BufReader, Write as _},
    process::{Child, ChildStdin, Command, Stdio},
    sync::mpsc::{Receiver, channel},
    time::Duration,
};

use serde_json::{Value, json};
use tempfile::TempDir;

use crate::tab::Tab;

/// Whoever says nothing for so long is broken.
const PATIENCE: Duration = Duration::from_mins(1);

/// A browser with a profile of its own, which goes with it.
pub(crate) struct Browser {
    child: Child,
    to: ChildStdin,
    from: Receiver<Value>,
    events: VecDeque<Value>,
    id: u64,
    _profile: TempDir,
}

impl Browser {
    pub(crate) fn start() -> Self {
        let chromium = std::env::var("CHROMIUM").unwrap_or_else(|_| "chromium".to_owned());
        let profile = tempfile::tempdir().unwrap();
        // The browser takes commands on descriptor 3 and answers on 4; a shell puts our pipes there.
        let mut child = Command::new("sh")
            .args([
                "-c",
                "exec \"$0\" \"$@\" 3<&0 4>&1 </dev/null >/dev/null 2>/dev/null",
                &chromium,
            ])
            .args(["--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run"])
            .args(["--disable-dev-shm-usage", "--disable-background-networking"])
            .args(["--disable-component-update", "--hide-scrollbars", "--remote-debugging-pipe"])
            .arg(format!("--user-data-dir={}", profile.path().display()))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let to = child.stdin.take().unwrap();
        let mut out = BufReader::new(child.stdout.take().unwrap());
        let (tell, from) = channel();
        std::thread::spawn(move || {
            let mut message = Vec::new();
            while out.read_until(0, &mut message).is_ok_and(|read| read > 0) {
                message.pop();
                let read = serde_json::from_slice(&message);
                message.clear();
                if read.is_ok_and(|value| tell.send(value).is_err()) {
                    break;
                }
            }
        });
        Self { child, to, from, events: VecDeque::new(), id: 0, _profile: profile }
    }

    /// A tab of so many CSS pixels.
    pub(crate) fn tab(&mut self, width: u32, height: u32) -> Tab<'_> {
        let target = self.call("", "Target.createTarget", json!({"url": "about:blank"}));
        let id = target["targetId"].as_str().expect("is there a browser? Set CHROMIUM").to_owned();
        let attach = json!({"targetId": id, "flatten": true});
        let session = self.call("", "Target.attachToTarget", attach);
        let session = session["sessionId"].as_str().unwrap().to_owned();
        let mut tab = Tab::new(self, session);
        tab.call("Page.enable", json!({}));
        tab.call("Runtime.enable", json!({}));
        tab.call("Log.enable", json!({}));
        tab.size(width, height);
        tab
    }

    /// One command, and its answer.
    pub(crate) fn call(&mut self, session: &str, method: &str, params: Value) -> Value {
        self.try_call(session, method, params).unwrap_or_else(|wrong| panic!("{method}: {wrong}"))
    }

    /// One command, and its answer or what was wrong with it.
    pub(crate) fn try_call(
        &mut self,
        session: &str,
        method: &str,
        params: Value,
    ) -> Result<Value, String> {
        self.id += 1;
        let mut message = json!({"id": self.id, "method": method, "params": params});
        if !session.is_empty() {
            message["sessionId"] = json!(session);
        }
        let mut bytes = message.to_string().into_bytes();
        bytes.push(0);
        self.to.write_all(&bytes).expect("is there a browser? Set CHROMIUM");
        self.to.flush().unwrap();
        loop {
            let mut answer = self
                .from
                .recv_timeout(PATIENCE)
                .unwrap_or_else(|why| panic!("{method}: no answer: {why}"));
            if answer["id"] == json!(self.id) {
                return match answer["error"]["message"].as_str() {
                    Some(wrong) => Err(wrong.to_owned()),
                    None => Ok(answer["result"].take()),
                };
            }
            if answer["method"].is_string() {
                self.events.push_back(answer);
            }
        }
    }

    /// The next event of this name; those before it are dropped.
    pub(crate) fn event(&mut self, session: &str, method: &str) -> Value {
        let is_it = |event: &Value| event["method"] == method && event["sessionId"] == session;
        loop {
            let mut event = match self.events.pop_front() {
                Some(event) => event,
                None => self
                    .from
                    .recv_timeout(PATIENCE)
                    .unwrap_or_else(|why| panic!("no {method}: {why}")),
            };
            if is_it(&event) {
                return event["params"].take();
            }
        }
    }

    /// What was complained of so far in the console of a tab.
    pub(crate) fn complaints(&self, session: &str) -> Vec<String> {
        let of = self.events.iter().filter(|event| event["sessionId"] == session);
        of.filter_map(|event| match event["method"].as_str()? {
            "Log.entryAdded" if event["params"]["entry"]["level"] == "error" => {
                Some(event["params"]["entry"]["text"].to_string())
            }
            "Runtime.exceptionThrown" => Some(event["params"].to_string()),
            _ => None,
        })
        .collect()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
