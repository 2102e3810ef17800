"use strict";
// Sorting and copying of tables; the page says all it has to say without it.
for (const table of document.querySelectorAll("table")) {
  const body = table.tBodies[0];
  const rows = [...body.rows];
  const text = (row, k) => (row.cells[k] ? row.cells[k].textContent.trim() : "");
  const number = (said) => {
    const plain = said.replace(/[\u202f\u00a0]/g, "").replace(/\u2212/g, "-").replace(/^[[<>(]+/, "");
    const found = plain.match(/^-?\d+(\.\d+)?(e-?\d+)?/);
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
      const up = head.getAttribute("aria-sort") !== "ascending";
      for (const other of table.tHead.rows[0].cells) other.removeAttribute("aria-sort");
      head.setAttribute("aria-sort", up ? "ascending" : "descending");
      const sorted = [...rows].sort((a, b) => {
        const [x, y] = [number(text(a, k)), number(text(b, k))];
        if (Number.isNaN(x) !== Number.isNaN(y)) return Number.isNaN(x) ? 1 : -1;
        const order = Number.isNaN(x) ? text(a, k).localeCompare(text(b, k)) : x - y;
        return up ? order : -order;
      });
      body.append(...sorted);
      if (fixed) body.append(fixed);
    });
  });
  const copy = document.createElement("button");
  copy.type = "button";
  copy.className = "copy";
  copy.textContent = "Copy table";
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
