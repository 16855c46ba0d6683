// Lays the picture of a piece as it was over the picture of it as it is, with a bar to draw across. The bar is a range
// control, so that it goes by pointer, touch and keyboard. Without this script the two stand side by side.
"use strict";

document.documentElement.classList.add("lays");

document.addEventListener("DOMContentLoaded", () => {
  for (const frame of document.querySelectorAll(".compare .frame")) {
    const bar = document.createElement("input");
    bar.type = "range";
    bar.min = 0;
    bar.max = 100;
    bar.step = 1;
    bar.value = 50;
    bar.className = "bar";
    bar.setAttribute("aria-label", "How much of the piece is seen as it was");
    const drawn = () => {
      frame.style.setProperty("--was", `${bar.value}%`);
      bar.setAttribute("aria-valuetext", `${bar.value} percent before, ${100 - bar.value} percent after`);
    };
    bar.addEventListener("input", drawn);
    drawn();
    frame.append(bar);
  }
});
