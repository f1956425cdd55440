// Sorts the spaces and shows only those, and those jobs, that fit what is chosen; without it the page shows all.
"use strict";
(() => {
  const form = document.getElementById("filters");
  const table = document.getElementById("spaces");
  const shown = document.getElementById("shown");
  const sorts = document.getElementById("sorts");
  const spaces = [...document.querySelectorAll(".space[data-level]")];
  const jobs = [...document.querySelectorAll(".job")];
  const bodies = table ? [...table.tBodies] : [];
  const homes = bodies.map((body) => [...body.rows]);
  const level = (one) => one.dataset.level.split("|");

  const fits = (one, chosen) =>
    ["level", "party", "theme", "state"].every(
      (key) => chosen[key] === "" || one.dataset[key].split("|").includes(chosen[key]),
    );

  function applyFilters() {
    const chosen = Object.fromEntries([...new FormData(form)]);
    const text = chosen.text.trim().toLowerCase();
    let count = 0;
    for (const space of spaces) {
      space.hidden = !fits(space, chosen) || !space.dataset.name.toLowerCase().includes(text);
      count += space.hidden ? 0 : 1;
    }
    for (const job of jobs) {
      job.hidden = !fits(job, chosen);
      for (const room of job.querySelectorAll("li")) {
        room.hidden = chosen.level !== "" && !level(room).includes(chosen.level);
      }
    }
    for (const rooms of document.querySelectorAll(".rooms")) rooms.hidden = !rooms.querySelector("li:not([hidden])");
    for (const party of document.querySelectorAll(".party")) party.hidden = !party.querySelector(".job:not([hidden])");
    hideEmptyLevels();
    shown.textContent = count === 0 ? shown.dataset.none : `${count} / ${spaces.length}`;
  }

  function hideEmptyLevels() {
    for (const body of bodies) {
      const head = body.querySelector(".level");
      if (head) head.hidden = table.classList.contains("sorted") || !body.querySelector(".space:not([hidden])");
    }
  }

  // An empty value stands last: what has no earliest start is not the earliest.
  function compare(one, other, key) {
    const [a, b] = [one.dataset[key], other.dataset[key]];
    if ((a === "") !== (b === "")) return a === "" ? 1 : -1;
    const order = key === "at" ? Date.parse(a) - Date.parse(b) : a.localeCompare(b, undefined, { numeric: true });
    return order || one.dataset.name.localeCompare(other.dataset.name, undefined, { numeric: true });
  }

  function sortBy(key) {
    table.classList.toggle("sorted", key !== "");
    if (key === "") {
      bodies.forEach((body, i) => body.append(...homes[i]));
    } else {
      const rows = spaces.filter((space) => table.contains(space)).sort((a, b) => compare(a, b, key));
      bodies[0].append(...rows);
    }
    for (const button of sorts.querySelectorAll("button")) {
      button.setAttribute("aria-pressed", String(button.dataset.by === key));
    }
    hideEmptyLevels();
  }

  if (form) {
    form.hidden = false;
    form.addEventListener("input", applyFilters);
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("reset", () => setTimeout(applyFilters));
    applyFilters();
  }
  if (sorts) {
    sorts.hidden = false;
    sorts.addEventListener("click", (event) => {
      if (event.target.dataset.by !== undefined) sortBy(event.target.dataset.by);
    });
    sortBy("");
  }
  addEventListener("beforeprint", () => {
    for (const one of document.querySelectorAll("details")) one.open = true;
  });
})();
