"use strict";
// Sorting and copying of tables; the page says all it has to say without it.
for (const table of document.querySelectorAll("table")) {
  const body = table.tBodies[0];
  const rows = [...body.rows];
  const text = (row, k) => (row.cells[k] ? row.cells[k].textContent.trim() : "");
  const number = (said) => {
    const plain = said.replace(/[\u202f\u00a0]/g, "").replace(/\u2212/g, "-").replace(/^[[<>(]+/, "");
    const found = plain.match(/^[+-]?\d+(\.\d+)?(e[+-]?\d+)?/);
    return found ? Number(found[0]) : NaN;
  };
  // the last row of a ledger is the sum of the others and stays where it is
  const fixed = table.classList.contains("sum") ? rows.pop() : null;
  [...table.tHead.rows[0].cells].forEach((head, k) => {
    if (rows.length < 3 || head.textContent.trim() === "") return;
    const button = document.createElement("button");
    button.type = "button";
    button.append(...head.childNodes);
    head.append(button);
    button.addEventListener("click", () => {
      // up, down, and back to the order in which the page was written
      const next = { ascending: "descending", descending: null }[head.getAttribute("aria-sort")];
      const order = next === undefined ? "ascending" : next;
      for (const other of table.tHead.rows[0].cells) other.removeAttribute("aria-sort");
      if (order === null) {
        body.append(...rows);
        if (fixed) body.append(fixed);
        return;
      }
      const up = order === "ascending";
      head.setAttribute("aria-sort", order);
      const sorted = [...rows].sort((a, b) => {
        const [x, y] = [number(text(a, k)), number(text(b, k))];
        if (Number.isNaN(x) !== Number.isNaN(y)) return Number.isNaN(x) ? 1 : -1;
        const after = Number.isNaN(x) ? text(a, k).localeCompare(text(b, k)) : x - y;
        return up ? after : -after;
      });
      body.append(...sorted);
      if (fixed) body.append(fixed);
    });
  });
  const copy = document.createElement("button");
  copy.type = "button";
  copy.className = "copy";
  copy.textContent = "Copy table";
  copy.setAttribute("aria-live", "polite");
  if (table.caption) copy.setAttribute("aria-description", table.caption.textContent);
  copy.addEventListener("click", async () => {
    const lines = [...table.rows].map((row) => [...row.cells].map((cell) => cell.textContent.trim()).join("\t"));
    try {
      await navigator.clipboard.writeText(lines.join("\n"));
      copy.textContent = "Copied";
    } catch {
      const range = document.createRange();
      range.selectNode(table);
      const selection = getSelection();
      selection.removeAllRanges();
      selection.addRange(range);
      copy.textContent = "Selected: copy with the keyboard";
    }
  });
  table.parentElement.after(copy);
}
// browsers repeat the head of a table on each page of paper only as long as nothing in it can be pressed
const pressed = [];
addEventListener("beforeprint", () => {
  for (const fold of document.querySelectorAll("details.letters:not([open])")) {
    fold.open = true;
    pressed.push(() => (fold.open = false));
  }
  for (const button of document.querySelectorAll("thead button")) {
    const head = button.parentElement;
    head.append(...button.childNodes);
    button.remove();
    pressed.push(() => {
      button.append(...head.childNodes);
      head.append(button);
    });
  }
});
addEventListener("afterprint", () => {
  while (pressed.length > 0) pressed.pop()();
});
