// The visit: prices as they are typed, the form kept meanwhile, and parts touched on the drawing.
for (const form of document.querySelectorAll("[data-visit]")) {
  const prices = document.getElementById("prices");
  let waiting = null;
  let n = 0;

  const price = async () => {
    const mine = ++n;
    try {
      const answer = await fetch(form.dataset.visit, {
        method: "POST", body: new URLSearchParams(new FormData(form)), headers: { "x-part": "1" },
      });
      if (!answer.ok || mine !== n) return;
      const part = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("[data-slip]");
      if (part) prices.replaceChildren(document.importNode(part, true));
    } catch {
      // The next key asks again; what is typed stays in its fields.
    }
  };
  form.addEventListener("input", () => { clearTimeout(waiting); waiting = setTimeout(price, 350); });

  // What is sent for another page goes as a form does.
  form.addEventListener("click", (event) => {
    const plain = event.target.closest("[data-plain]");
    if (plain) { form.removeAttribute("data-say"); clearTimeout(waiting); n++; }
  });

  for (const head of form.querySelectorAll(".head-of")) {
    const field = head.querySelector("[data-condition]");
    const says = head.querySelector("[data-says]");
    let part = "";
    for (const drawn of head.querySelectorAll("[data-part]")) {
      drawn.addEventListener("click", () => {
        for (const other of head.querySelectorAll("[data-on]")) other.removeAttribute("data-on");
        drawn.setAttribute("data-on", "");
        part = drawn.querySelector("title").textContent;
        says.hidden = false;
      });
    }
    says.addEventListener("click", (event) => {
      const key = event.target.closest("[data-word]");
      if (!key) return;
      const words = `${part} ${key.dataset.word}`.trim();
      field.value = field.value.trim() ? `${field.value.trim()}, ${words}` : words;
      field.dispatchEvent(new Event("input", { bubbles: true }));
    });
    head.querySelector("[data-says]").hidden = false;
  }
  if (form.querySelector("[name=species-0]").value) price();
}
