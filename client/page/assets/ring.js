// It rings: a tone of our own, once the hand allowed it, over the whole screen until it is heard.
{
  const allow = document.getElementById("sound");
  let sound = null;
  let tolling = null;

  // Two notes that die away, as a bell does.
  const toll = () => {
    if (!sound) return;
    [[784, 0], [587, 0.28]].forEach(([pitch, after]) => {
      const at = sound.currentTime + after;
      [1, 2.76].forEach((part, n) => {
        const tone = sound.createOscillator();
        const loud = sound.createGain();
        tone.frequency.value = pitch * part;
        loud.gain.setValueAtTime(n ? 0.08 : 0.3, at);
        loud.gain.exponentialRampToValueAtTime(0.001, at + (n ? 0.5 : 1.4));
        tone.connect(loud).connect(sound.destination);
        tone.start(at);
        tone.stop(at + 1.5);
      });
    });
  };

  const hush = () => { clearInterval(tolling); tolling = null; };

  if (allow) {
    allow.hidden = false;
    allow.addEventListener("click", async () => {
      sound = sound || new AudioContext();
      await sound.resume();
      allow.setAttribute("aria-pressed", "true");
      toll();
      if (document.documentElement.requestFullscreen) {
        // Where the browser does not let it, it rings in its window.
        document.documentElement.requestFullscreen().catch(() => {});
      }
    });
  }

  document.addEventListener("burrline-news", (event) => {
    const { rings, told } = event.detail;
    if (told && slip && !slip.querySelector("[data-asks]")) {
      const part = document.createElement("section");
      part.className = "slip";
      for (const line of told) {
        const p = document.createElement("p");
        p.textContent = line;
        part.append(p);
      }
      slip.replaceChildren(part);
    }
    if (!rings) return;
    const dialog = document.getElementById("ringing");
    if (!dialog) return;
    const list = dialog.querySelector("ul");
    list.replaceChildren(...rings.map((line) => {
      const li = document.createElement("li");
      li.textContent = line;
      return li;
    }));
    if (!dialog.open) dialog.showModal();
    hush();
    toll();
    tolling = setInterval(toll, 3000);
    setTimeout(hush, 60000);
  });

  const dialog = document.getElementById("ringing");
  if (dialog) dialog.addEventListener("close", hush);

  // ---- digits
  const pad = document.getElementById("keypad");
  const open = document.getElementById("keypad-open");
  if (pad && open) {
    const typed = document.getElementById("typed");
    const matches = document.getElementById("matches");
    const draw = () => {
      const digits = typed.textContent;
      const inputs = [...document.querySelectorAll("[data-yard] input[name=skull]")];
      const fit = digits ? inputs.filter((input) => input.value.split("/")[0].endsWith(digits)) : [];
      matches.replaceChildren(...fit.slice(0, 8).map((input) => {
        const key = document.createElement("button");
        key.type = "button";
        key.textContent = `${input.value} ${input.dataset.where || ""}`;
        key.addEventListener("click", () => {
          input.checked = true;
          input.dispatchEvent(new Event("change", { bubbles: true }));
          typed.textContent = "";
          pad.close();
        });
        return key;
      }));
    };
    open.hidden = false;
    open.addEventListener("click", () => { typed.textContent = ""; draw(); pad.showModal(); });
    pad.addEventListener("click", (event) => {
      const key = event.target.closest("button");
      if (!key) return;
      if ("digit" in key.dataset) typed.textContent += key.dataset.digit;
      else if ("erase" in key.dataset) typed.textContent = typed.textContent.slice(0, -1);
      else if ("shut" in key.dataset) { pad.close(); return; }
      else return;
      draw();
    });
    pad.addEventListener("keydown", (event) => {
      if (/^[0-9]$/.test(event.key)) typed.textContent += event.key;
      else if (event.key === "Backspace") typed.textContent = typed.textContent.slice(0, -1);
      else return;
      draw();
    });
  }

  // ---- photos
  for (const form of document.querySelectorAll("[data-photo]")) {
    form.hidden = false;
    const file = form.querySelector("input[type=file]");
    form.addEventListener("submit", (event) => event.preventDefault());
    file.addEventListener("change", async () => {
      for (const photo of file.files) {
        const words = form.querySelector("[name=words]").value;
        form.setAttribute("aria-busy", "true");
        try {
          const answer = await fetch(`${form.dataset.photo}?words=${encodeURIComponent(words)}`, {
            method: "POST", body: photo, headers: { "x-token": token, "x-part": "1" },
          });
          show(await answer.text());
        } catch {
          show(null);
        }
        form.removeAttribute("aria-busy");
      }
      file.value = "";
    });
  }
}
