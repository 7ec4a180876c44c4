"use strict";
(() => {
  const data = JSON.parse(document.getElementById("data").textContent);
  const words = data.words;
  const one = (query, from = document) => from.querySelector(query);
  const all = (query, from = document) => [...from.querySelectorAll(query)];
  const fill = (text, parts) => text.replace(/\{(\w+)\}/g, (whole, name) => (name in parts ? parts[name] : whole));
  const make = (tag, text = "", attributes = {}) => {
    const made = document.createElement(tag);
    if (text) made.textContent = text;
    for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
    return made;
  };
  // Work that the first sight of the page need not wait for, a little at a time.
  const later = (items, act) => {
    const left = [...items], idle = globalThis.requestIdleCallback ?? ((go) => setTimeout(go, 1));
    const go = () => {
      const end = performance.now() + 8;
      while (left.length && performance.now() < end) act(left.shift());
      if (left.length) idle(go);
    };
    idle(go);
  };
  document.documentElement.classList.add("js");

  // Before and after: the range is the control, the picture a shortcut for the pointer.
  for (const pair of all("[data-pair]")) {
    const stage = one(".pair-stage", pair), range = one(".pair-range", pair);
    const show = () => {
      stage.style.setProperty("--cut", `${range.value}%`);
      range.setAttribute("aria-valuetext", fill(words.percent, { n: 100 - range.value }));
    };
    const follow = (event) => {
      const box = stage.getBoundingClientRect();
      range.value = Math.round(((event.clientX - box.left) / box.width) * 100);
      show();
    };
    stage.append(make("span", "⇆", { class: "pair-knob", "aria-hidden": "true" }));
    pair.classList.add("is-live");
    range.hidden = false;
    range.addEventListener("input", show);
    stage.addEventListener("pointerdown", (event) => {
      if (event.button) return;
      event.preventDefault();
      stage.setPointerCapture(event.pointerId);
      follow(event);
    });
    stage.addEventListener("pointermove", (event) => { if (stage.hasPointerCapture(event.pointerId)) follow(event); });
    show();
  }

  // What a link leads to may stand behind a fold.
  const reveal = () => {
    const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (!target) return;
    for (let fold = target.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
    if (!target.closest(".place")) target.scrollIntoView();
  };
  addEventListener("hashchange", reveal);
  addEventListener("beforeprint", () => all("details").forEach((fold) => { fold.open = true; }));

  // The map: one place at a time, to begin with the one that has most to tell.
  const places = all(".place");
  if (places.length) {
    const list = one(".map-list"), wide = matchMedia("(min-width: 48rem)");
    list.open = wide.matches;
    const links = all(".place-link"), zones = all(".map-plan .zone");
    const choose = (id) => {
      const chosen = places.find((place) => place.id === id);
      for (const place of places) place.hidden = place !== chosen;
      for (const link of links) {
        if (link.getAttribute("href") === `#${id}`) link.setAttribute("aria-current", "true");
        else link.removeAttribute("aria-current");
      }
      for (const zone of zones) zone.classList.toggle("is-chosen", zone.getAttribute("href") === `#${id}`);
      return chosen;
    };
    const follow = () => {
      const id = decodeURIComponent(location.hash.slice(1));
      if (places.some((place) => place.id === id)) choose(id).scrollIntoView({ block: "nearest" });
    };
    choose(one(".map-board").dataset.first);
    one(".map-find").addEventListener("click", (event) => {
      const link = event.target.closest("a");
      if (!link) return;
      event.preventDefault();
      const id = decodeURIComponent(link.getAttribute("href").slice(1));
      const chosen = choose(id);
      if (!chosen) return;
      history.replaceState(null, "", `#${id}`);
      one(".map-panels").scrollTop = 0;
      if (!wide.matches) list.open = false;
      if (!matchMedia("(min-width: 75rem)").matches) chosen.scrollIntoView();
      chosen.focus({ preventScroll: true });
    });
    addEventListener("hashchange", follow);
    follow();
  }

  // Charts: one stop for the keyboard each, arrow keys within, the value told below.
  for (const chart of all(".chart")) {
    const marks = all(".mark", chart), readout = one(".readout", chart);
    if (!marks.length) continue;
    const tell = (mark) => {
      readout.hidden = !mark;
      if (!mark) return;
      readout.textContent = mark.getAttribute("aria-label");
      const at = mark.getBoundingClientRect(), frame = chart.getBoundingClientRect();
      const left = at.left + at.width / 2 - frame.left - readout.offsetWidth / 2;
      readout.style.left = `${Math.max(0, Math.min(left, frame.width - readout.offsetWidth))}px`;
      readout.style.top = `${at.top - frame.top - readout.offsetHeight - 8}px`;
    };
    const stop = (mark) => marks.forEach((other) => other.setAttribute("tabindex", other === mark ? "0" : "-1"));
    stop(marks[0]);
    chart.addEventListener("pointerover", (event) => { const mark = event.target.closest(".mark"); if (mark) tell(mark); });
    chart.addEventListener("focusin", (event) => { const mark = event.target.closest(".mark"); if (mark) { stop(mark); tell(mark); } });
    chart.addEventListener("pointerleave", () => tell(document.activeElement.closest(".mark")));
    chart.addEventListener("focusout", () => tell(null));
    chart.addEventListener("keydown", (event) => {
      if (event.key === "Escape") tell(null);
      const at = marks.indexOf(event.target.closest(".mark"));
      const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
      const to = event.key === "Home" ? 0 : event.key === "End" ? marks.length - 1 : at + step;
      if (at < 0 || !marks[to]) return;
      event.preventDefault();
      marks[to].focus();
    });
  }

  // Tables: named cells for narrow windows, sorting, searching.
  const collator = new Intl.Collator(document.documentElement.lang || undefined, { numeric: true, sensitivity: "base" });
  const key = (row, at) => {
    const cell = row.cells[at];
    return cell.dataset.key ?? (cell.firstChild?.textContent ?? "").trim();
  };
  const name = (table) => {
    const heads = all("thead th", table).map((head) => head.textContent);
    table.setAttribute("role", "table");
    all("thead, tbody", table).forEach((group) => group.setAttribute("role", "rowgroup"));
    all("thead th", table).forEach((head) => head.setAttribute("role", "columnheader"));
    for (const row of table.rows) {
      row.setAttribute("role", "row");
      all("td", row).forEach((cell) => { cell.dataset.name = heads[cell.cellIndex]; cell.setAttribute("role", "cell"); });
    }
  };
  for (const table of all("table[data-sorts]")) {
    const heads = all("thead th", table), body = table.tBodies[0];
    heads.forEach((head, at) => {
      const button = make("button", head.textContent, { type: "button" });
      head.replaceChildren(button);
      head.setAttribute("aria-sort", "none");
      button.addEventListener("click", () => {
        const down = head.getAttribute("aria-sort") === "ascending";
        heads.forEach((other) => other.setAttribute("aria-sort", "none"));
        head.setAttribute("aria-sort", down ? "descending" : "ascending");
        const rows = [...body.rows].map((row) => [key(row, at), row]);
        const number = rows.some(([text]) => text) && rows.every(([text]) => text === "" || /^-?\d+(\.\d+)?$/.test(text));
        const empty = (text) => text === "" || text === "–";
        rows.sort(([a], [b]) => {
          if (empty(a) || empty(b)) return empty(a) - empty(b);
          return (down ? -1 : 1) * (number ? a - b : collator.compare(a, b));
        });
        body.append(...rows.map(([, row]) => row));
      });
    });
  }
  later(all("table"), name);
  for (const field of all(".search")) {
    const input = one("input", field), said = one("[role=status]", field), part = field.closest(".part");
    const rows = all("tbody tr", part);
    field.hidden = false;
    input.addEventListener("input", () => {
      const asked = input.value.toLocaleLowerCase().split(/\s+/).filter(Boolean);
      let shown = 0;
      for (const row of rows) {
        const text = row.textContent.toLocaleLowerCase();
        row.hidden = !asked.every((word) => text.includes(word));
        if (!row.hidden) shown += 1;
      }
      said.textContent = asked.length ? fill(words.shown, { n: shown, all: rows.length }) : "";
    });
  }

  // The viewer.
  const viewer = document.getElementById("viewer"), stage = one(".viewer-stage", viewer);
  const slots = Object.fromEntries(all("[data-view]", viewer).map((slot) => [slot.dataset.view, slot]));
  let current = 0;
  const show = (at) => {
    current = (at + data.photos.length) % data.photos.length;
    const photo = data.photos[current];
    stage.replaceChildren(make("img", "", { src: photo.src, width: photo.width, height: photo.height, alt: photo.alt }));
    slots.label.textContent = photo.label;
    slots.count.textContent = fill(words.of, { n: current + 1, all: data.photos.length });
    slots.caption.textContent = photo.caption || photo.alt;
    for (const name of ["taken", "place", "stage", "camera", "file", "hash"]) slots[name].textContent = photo[name] || words.unknown;
    slots.used.replaceChildren(...photo.used.flatMap(([label, target]) => [make("a", label, { href: `#${target}` }), " "]));
    if (!photo.used.length) slots.used.textContent = words.unknown;
    slots.target.hidden = !photo.target;
    slots.target.setAttribute("href", `#${photo.target}`);
  };
  const open = (at) => { show(at); if (!viewer.open) viewer.showModal(); };
  document.addEventListener("click", (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    const link = event.target.closest("a");
    if (!link || !viewer.showModal) return;
    if (link.closest("#viewer")) {
      viewer.close();
      if (link.hash === location.hash) { event.preventDefault(); reveal(); }
      return;
    }
    const at = data.photos.findIndex((photo) => (link.dataset.photo ? photo.label === link.dataset.photo : photo.target && link.getAttribute("href") === `#${photo.target}`));
    if (at < 0) return;
    event.preventDefault();
    open(at);
  });
  viewer.addEventListener("click", (event) => {
    const act = event.target.closest("[data-do]")?.dataset.do;
    if (act === "close") viewer.close();
    else if (act) show(current + (act === "next" ? 1 : -1));
  });
  viewer.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (step) { event.preventDefault(); show(current + step); }
    else if (event.key === "Home" || event.key === "End") { event.preventDefault(); show(event.key === "Home" ? 0 : -1); }
  });

  // Which section is read, for the contents; what is named there stays in sight.
  const contents = one(".contents");
  const cut = () => contents.classList.toggle("is-cut", contents.scrollHeight - contents.scrollTop - contents.clientHeight > 8);
  const bring = (link) => {
    const box = link.getBoundingClientRect(), frame = contents.getBoundingClientRect();
    if (box.left < frame.left || box.right > frame.right) contents.scrollLeft += box.left - frame.left - 24;
    if (box.top < frame.top || box.bottom > frame.bottom - 48) contents.scrollTop += box.top - frame.top - frame.height / 3;
    cut();
  };
  contents.addEventListener("scroll", cut, { passive: true });
  addEventListener("resize", cut);
  const subs = all(".contents .subs a").map((link) => [link, document.getElementById(link.hash.slice(1))]).filter(([, head]) => head);
  let waiting = false, here = null;
  const read = () => {
    waiting = false;
    const open = one(".contents .is-current .subs");
    const passed = open ? subs.filter(([link, head]) => open.contains(link) && head.getBoundingClientRect().top < innerHeight / 4) : [];
    const now = passed.length ? passed[passed.length - 1][0] : null;
    if (now === here) return;
    here?.removeAttribute("aria-current");
    now?.setAttribute("aria-current", "location");
    here = now;
    if (now && now.offsetParent) bring(now);
  };
  addEventListener("scroll", () => { if (!waiting) { waiting = true; requestAnimationFrame(read); } }, { passive: true });
  const entries = new Map(all(".contents > ol > li > a").map((link) => [link.hash.slice(1), link]));
  const mark = new IntersectionObserver((changes) => {
    for (const change of changes) {
      if (!change.isIntersecting) continue;
      for (const [id, link] of entries) {
        const here = id === change.target.id;
        link.parentElement.classList.toggle("is-current", here);
        if (here) { link.setAttribute("aria-current", "location"); bring(link); } else link.removeAttribute("aria-current");
      }
    }
  }, { rootMargin: "-20% 0px -75% 0px" });
  all("main > .part").forEach((part) => mark.observe(part));

  // Self-verification: the seal from the manifest in this page, and files against it.
  const check = data.check;
  const bytes = Uint8Array.from(atob(check.manifest), (letter) => letter.charCodeAt(0));
  const digest = async (buffer) => [...new Uint8Array(await crypto.subtle.digest("SHA-256", buffer))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  const tell = (which, text, good) => {
    const said = one(`[data-said=${which}]`);
    said.textContent = text;
    said.classList.toggle("is-good", good === true);
    said.classList.toggle("is-bad", good === false);
  };
  const grouped = (hex) => hex.replace(/(.{4})(?=.)/g, "$1 ");
  const manifest = () => new Map(new TextDecoder().decode(bytes).split("\n").filter(Boolean).map((line) => {
    const escaped = line.startsWith("\\"), at = escaped ? 1 : 0, path = line.slice(at + 66);
    return [escaped ? path.replace(/\\(.)/gs, (_, c) => ({ n: "\n", r: "\r" })[c] ?? c) : path, line.slice(at, at + 64)];
  }));
  const litter = (path) => path.split("/").some((part) => check.litter.includes(part.toLowerCase()) || check.litterStarts.some((start) => part.startsWith(start)));
  const after = (path) => {
    const note = /^issued\/(\d+)(-record)?\.json$/.exec(path);
    return note && (!check.issue || Number(note[1]) >= check.issue);
  };
  // The folder of the record within what was chosen: the one that holds most of its files.
  const rootOf = (files, wanted) => {
    const counts = new Map();
    for (const path of files.keys()) {
      const parts = path.split("/");
      for (let cut = 0; cut < parts.length; cut += 1) {
        if (wanted.has(parts.slice(cut).join("/"))) {
          const root = parts.slice(0, cut).map((part) => `${part}/`).join("");
          counts.set(root, (counts.get(root) ?? 0) + 1);
        }
      }
    }
    return [...counts].sort((a, b) => b[1] - a[1] || a[0].length - b[0].length)[0]?.[0];
  };
  const verify = async (chosen) => {
    const wanted = manifest();
    const files = new Map([...chosen].map((file) => [file.webkitRelativePath || file.name, file]));
    const root = rootOf(files, wanted), lists = { ok: [], changed: [], missing: [], added: [], unread: [] };
    const shelf = one(".check-lists");
    shelf.hidden = true;
    if (root === undefined) return tell("files", words.no_record, false);
    let done = 0;
    for (const [path, hex] of wanted) {
      done += 1;
      if (done % 10 === 1) tell("files", fill(words.hashing, { n: done, all: wanted.size }));
      const file = files.get(root + path);
      if (!file) { lists.missing.push(path); continue; }
      try { lists[(await digest(await file.arrayBuffer())) === hex ? "ok" : "changed"].push(path); } catch { lists.unread.push(path); }
    }
    for (const path of files.keys()) {
      const inside = path.startsWith(root) ? path.slice(root.length) : "";
      if (inside && !wanted.has(inside) && !litter(inside) && !after(inside)) lists.added.push(inside);
    }
    const notes = [];
    for (const [name, hex] of Object.entries(check.beside)) {
      const found = [...files].find(([path]) => path.split("/").length === 2 && path.endsWith(`/${name}`) && !path.startsWith(root));
      const beside = found ?? [...files].find(([path]) => path.endsWith(`data/${name}`));
      if (beside) notes.push(fill((await digest(await beside[1].arrayBuffer())) === hex ? words.record_ok : words.record_bad, { name }));
    }
    const whole = lists.ok.length === wanted.size;
    const counts = Object.fromEntries(Object.entries(lists).map(([name, list]) => [name, list.length]));
    const said = whole && !lists.added.length ? fill(words.all_ok, { n: wanted.size }) : fill(words.not_ok, { ...counts, all: wanted.size });
    tell("files", [said, ...notes].join(" "), whole && !lists.added.length);
    for (const list of all("[data-list]", shelf)) {
      const paths = lists[list.dataset.list].sort();
      list.hidden = !paths.length;
      one("b", list).textContent = paths.length;
      one("ul", list).replaceChildren(...paths.map((path) => make("li", path)));
    }
    shelf.hidden = false;
  };
  if (globalThis.crypto?.subtle && bytes.length) {
    one(".check-tools").hidden = false;
    one(".check-by-hand").hidden = true;
    const save = one("[data-check=save]");
    save.setAttribute("href", URL.createObjectURL(new Blob([bytes], { type: "text/plain" })));
    save.setAttribute("download", check.name);
    one("[data-check=seal]").addEventListener("click", async () => {
      const found = await digest(bytes), good = found === check.seal;
      tell("seal", fill(good ? words.seal_ok : words.seal_bad, { seal: grouped(found) }), good);
    });
    one("#check-pick").addEventListener("change", (event) => verify(event.target.files));
  }
  reveal();
})();
