// Sorts the tables of the books: a button in each heading, by click or key. The first press sorts upward, the next
// downward, a third puts the rows back as they were written. Without this script the tables are read as they are.
"use strict";

{
  const collator = new Intl.Collator(document.documentElement.lang, { numeric: true });

  /** The value of a cell's text: a number where the column holds figures, null where there is nothing. */
  const valueOf = (text, holdsNumbers) => {
    if (text === "") return null;
    if (!holdsNumbers) return text;
    const number = Number(text.replaceAll(",", ""));
    return Number.isNaN(number) ? null : number;
  };

  /** The rows in a new order; the sort is stable, and a row with nothing in its cell comes last either way. */
  const sorted = (rows, index, holdsNumbers, direction) => {
    const compare = holdsNumbers ? (a, b) => a - b : collator.compare;
    return rows
      .map((row) => ({ row, value: valueOf(row.cells[index].textContent.trim(), holdsNumbers) }))
      .sort((a, b) => {
        if (a.value === null || b.value === null) return Number(a.value === null) - Number(b.value === null);
        return direction * compare(a.value, b.value);
      })
      .map(({ row }) => row);
  };

  const NEXT = { none: "ascending", ascending: "descending", descending: "none" };

  const makeSortable = (table) => {
    const body = table.tBodies[0];
    const asWritten = [...body.rows];
    const headings = [...table.tHead.rows[0].cells];

    const sortBy = (heading, index) => {
      const order = NEXT[heading.getAttribute("aria-sort") ?? "none"];
      for (const other of headings) other.removeAttribute("aria-sort");
      if (order === "none") {
        body.append(...asWritten);
        return;
      }
      heading.setAttribute("aria-sort", order);
      const direction = order === "ascending" ? 1 : -1;
      body.append(...sorted(asWritten, index, heading.dataset.holds === "number", direction));
    };

    headings.forEach((heading, index) => {
      const button = document.createElement("button");
      button.type = "button";
      button.append(...heading.childNodes);
      button.addEventListener("click", () => sortBy(heading, index));
      heading.append(button);
    });
  };

  document.querySelectorAll("table.sortable").forEach(makeSortable);
}
