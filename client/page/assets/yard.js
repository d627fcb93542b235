// The yard: what was tapped decides which keys are large.
{
  const yard = document.querySelector("[data-yard]");
  if (yard) {
    const chosen = document.getElementById("chosen");
    const likely = document.getElementById("likely");
    const open = document.getElementById("open-skull");
    const clear = document.getElementById("clear");

    const tapped = () => [...yard.querySelectorAll("input[name=skull]:checked")];

    // The steps that are likely for most of what was tapped, the likeliest first.
    const steps = (inputs) => {
      const points = new Map();
      for (const input of inputs) {
        JSON.parse(input.dataset.next || "[]").forEach(([label, line], n) => {
          const known = points.get(line) || { label, line, sum: 0 };
          known.sum += 10 - n;
          points.set(line, known);
        });
      }
      return [...points.values()].sort((a, b) => b.sum - a.sum).slice(0, 3);
    };

    const draw = () => {
      const inputs = tapped();
      const tags = inputs.map((input) => input.value);
      chosen.textContent = tags.length ? `${tags.length} ${chosen.dataset.some}: ${tags.join(" ")}` : chosen.dataset.none;
      clear.hidden = tags.length === 0;
      open.hidden = tags.length !== 1;
      if (tags.length === 1) open.href = `/skull/${encodeURIComponent(tags[0])}`;
      const keys = steps(inputs).map(({ label, line }) => {
        const key = document.createElement("button");
        key.name = "step";
        key.value = line;
        key.textContent = label;
        return key;
      });
      likely.replaceChildren(...keys);
      yard.toggleAttribute("data-tapped", tags.length > 0);
    };

    const drop = () => {
      for (const input of tapped()) input.checked = false;
      draw();
    };

    yard.addEventListener("change", draw);
    clear.addEventListener("click", drop);
    document.addEventListener("burrline-fresh", draw);
    document.addEventListener("burrline-said", (event) => {
      if (event.detail === yard || event.detail.closest("#slip")) {
        document.getElementById("all").open = false;
        drop();
      }
    });
    draw();
  }
}
