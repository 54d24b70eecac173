"use strict";
(function () {
  var byId = function (id) { return document.getElementById(id); };
  var rows = Array.prototype.slice.call(document.querySelectorAll(".row"));
  var homes = rows.map(function (row) { return row.parentNode; });
  var groups = Array.prototype.slice.call(document.querySelectorAll(".group"));
  var flat = byId("found").querySelector("ol");
  var fields = ["height", "minutes", "poles", "riders", "arena", "suits", "store"];
  var own = ["long", "wide", "unit", "own-poles", "own-pairs"];
  var boxes = Array.prototype.slice.call(document.querySelectorAll("[name=teaches]"));

  function fold(text) {
    return text.normalize("NFD").replace(/[\u0300-\u036f]/g, "").toLowerCase().replace(/\u2019/g, "'");
  }
  function number(id) {
    var text = byId(id).value.trim().replace(",", ".");
    return /^\d+(\.\d+)?$/.test(text) ? Number(text) : null;
  }
  function chosen(id) {
    var select = byId(id);
    return select.options[select.selectedIndex].text;
  }
  function counted(n) { return n + (n === 1 ? " exercise" : " exercises"); }

  /* Each filter: what it is called, whether it keeps an exercise, and how it is taken off. */
  function filters() {
    var list = [], words = fold(byId("q").value).split(/\s+/).filter(Boolean);
    function add(name, test, off) { list.push({ name: name, test: test, off: off }); }
    function empty(id) { return function () { byId(id).value = ""; }; }
    if (words.length) {
      add("\u201c" + byId("q").value.trim() + "\u201d", function (e) {
        return words.every(function (w) { return e.w.indexOf(w) >= 0; });
      }, empty("q"));
    }
    var ticked = boxes.filter(function (b) { return b.checked; });
    if (ticked.length) {
      var wanted = ticked.map(function (b) { return Number(b.value); });
      add("teaches " + wanted.map(function (n) { return GROUPS[n]; }).join(" or "), function (e) {
        return e.g.some(function (n) { return wanted.indexOf(n) >= 0; });
      }, function () { ticked.forEach(function (b) { b.checked = false; }); });
    }
    if (byId("height").value !== "") {
      var top = Number(byId("height").value);
      add(top ? "height at most " + chosen("height") : "poles only", function (e) {
        return top ? e.h[0] <= top : e.h[1] === 0;
      }, empty("height"));
    }
    [["minutes", "m", "minutes"], ["poles", "p", "poles"]].forEach(function (f) {
      var most = number(f[0]);
      if (most !== null) {
        add(f[2] + " at most " + most, function (e) { return e[f[1]] !== null && e[f[1]] <= most; }, empty(f[0]));
      }
    });
    var riders = number("riders");
    if (riders !== null) {
      add("riders up to " + riders, function (e) { return e.r === null || e.r >= riders; }, empty("riders"));
    }
    if (byId("arena").value !== "") {
      add("drawn for " + chosen("arena"), function (e) { return e.a === Number(byId("arena").value); }, empty("arena"));
    }
    if (byId("suits").value !== "") {
      add("for " + chosen("suits"), function (e) { return e.s.indexOf(Number(byId("suits").value)) >= 0; }, empty("suits"));
    }
    if (byId("store").value !== "") {
      add("from the store of " + chosen("store"), function (e) { return e.b.indexOf(Number(byId("store").value)) >= 0; }, empty("store"));
    }
    if (byId("two").checked) {
      add("two groups at once", function (e) { return e.t2; }, function () { byId("two").checked = false; });
    }
    var long = number("long"), wide = number("wide"), unit = Number(byId("unit").value);
    var ring = byId("fits").checked;
    byId("ring-hint").textContent = ring && !(long && wide) ? "Give length and width." : "";
    if (ring && long && wide) {
      var a = long * unit + 0.005, b = wide * unit + 0.005;
      add("fits " + long + " \u00d7 " + wide + " " + chosen("unit"), function (e) {
        return e.f.some(function (f) { return (f[0] <= a && f[1] <= b) || (f[0] <= b && f[1] <= a); });
      }, function () { byId("fits").checked = false; });
    }
    var poles = number("own-poles"), pairs = number("own-pairs"), store = byId("builds").checked;
    byId("store-hint").textContent = store && poles === null && pairs === null ? "Give poles or pairs." : "";
    if (store && (poles !== null || pairs !== null)) {
      add("my store", function (e) {
        return (poles === null || e.p <= poles) && (pairs === null || e.n <= pairs);
      }, function () { byId("builds").checked = false; });
    }
    return { list: list, words: words };
  }
  function rank(entry, words) {
    if (entry.t.indexOf(words[0]) === 0) { return 0; }
    return words.every(function (w) { return entry.t.indexOf(w) >= 0; }) ? 1 : 2;
  }
  function passing(list, but) {
    return LIST.map(function (entry, n) { return n; }).filter(function (n) {
      return list.every(function (f) { return f === but || f.test(LIST[n]); });
    });
  }
  function button(text, label, act) {
    var made = document.createElement("button");
    made.type = "button";
    made.textContent = text;
    if (label) { made.setAttribute("aria-label", label); }
    made.addEventListener("click", function () { act(); update(); byId("q").focus(); });
    return made;
  }

  var flatNow = false;
  function update() {
    var now = filters(), kept = passing(now.list), searched = now.words.length > 0;
    if (searched) {
      kept.sort(function (a, b) { return rank(LIST[a], now.words) - rank(LIST[b], now.words) || a - b; });
    }
    var shown = Object.create(null);
    kept.forEach(function (n) { shown[n] = true; });
    if (searched) {
      var moving = document.createDocumentFragment();
      kept.forEach(function (n) { rows[n].hidden = false; moving.appendChild(rows[n]); });
      rows.forEach(function (row, n) { if (!shown[n]) { row.hidden = true; } });
      flat.appendChild(moving);
    } else {
      rows.forEach(function (row, n) {
        if (flatNow) { homes[n].appendChild(row); }
        row.hidden = !shown[n];
      });
    }
    flatNow = searched;
    byId("found").hidden = !searched || !kept.length;
    groups.forEach(function (group) {
      group.hidden = searched || !group.querySelector(".row:not([hidden])");
    });
    byId("groups").hidden = now.list.length > 0;
    var of = now.list.length ? kept.length + " of " + counted(LIST.length) : counted(LIST.length);
    if (byId("count").textContent !== of) { byId("count").textContent = of; }
    byId("show").textContent = "Show " + counted(kept.length);
    var inUse = now.list.length - (searched ? 1 : 0);
    byId("in-use").textContent = inUse ? "(" + inUse + " in use)" : "";
    var chips = byId("chips");
    chips.textContent = "";
    now.list.forEach(function (f) { chips.appendChild(button(f.name + " \u00d7", "Take off: " + f.name, f.off)); });
    if (now.list.length > 1) { chips.appendChild(button("Show all", "", takeAllOff)); }
    chips.hidden = !now.list.length;
    nothing(now.list, kept.length);
    remember();
  }
  function takeAllOff() { filters().list.forEach(function (f) { f.off(); }); }
  function nothing(list, kept) {
    var box = byId("none");
    box.textContent = "";
    box.hidden = kept > 0;
    if (kept) { return; }
    var said = document.createElement("p");
    box.appendChild(said);
    if (list.length < 2) {
      said.textContent = byId("q").value ? "No exercise has these words. Try fewer, or a part of one." : "No exercise is like this.";
      return;
    }
    said.textContent = "No exercise fits all of this. One thing less:";
    list.forEach(function (f) {
      var left = passing(list, f).length;
      if (left) { box.appendChild(button("without " + f.name + ": " + left, "", f.off)); }
    });
    if (box.children.length === 1) { said.textContent = "No exercise fits all of this, whichever one is taken off."; }
  }

  /* What is looked for stands in the address; ring and store stay on this device. */
  var waiting = 0;
  function remember() {
    clearTimeout(waiting);
    waiting = setTimeout(function () {
      var parts = [], q = byId("q").value.trim();
      if (q) { parts.push("q=" + encodeURIComponent(q)); }
      fields.forEach(function (id) { if (byId(id).value) { parts.push(id + "=" + encodeURIComponent(byId(id).value)); } });
      var ticked = boxes.filter(function (b) { return b.checked; }).map(function (b) { return b.value; });
      if (ticked.length) { parts.push("teaches=" + ticked.join(".")); }
      ["two", "fits", "builds"].forEach(function (id) { if (byId(id).checked) { parts.push(id + "=1"); } });
      var hash = parts.length ? "#" + parts.join("&") : "";
      if (hash || location.hash.indexOf("=") > 0) { history.replaceState(null, "", location.pathname + hash); }
      try {
        own.forEach(function (id) { localStorage.setItem("tapeline " + id, byId(id).value); });
      } catch (none) { /* a device that keeps nothing */ }
    }, 250);
  }
  function recall() {
    try {
      own.forEach(function (id) {
        var kept = localStorage.getItem("tapeline " + id);
        if (kept !== null) { byId(id).value = kept; }
      });
    } catch (none) { /* a device that keeps nothing */ }
    location.hash.slice(1).split("&").forEach(function (part) {
      var at = part.indexOf("="), id = part.slice(0, at), value = "";
      try { value = decodeURIComponent(part.slice(at + 1)); } catch (bad) { return; }
      if (at < 1) { return; }
      if (id === "teaches") {
        value.split(".").forEach(function (n) { if (boxes[n]) { boxes[n].checked = true; } });
      } else if (["two", "fits", "builds"].indexOf(id) >= 0) {
        byId(id).checked = value === "1";
      } else if (id === "q" || fields.indexOf(id) >= 0) {
        byId(id).value = value;
      }
    });
  }
  function toList() {
    byId("list").focus();
    byId("count").scrollIntoView();
  }

  byId("finder").hidden = false;
  if (window.matchMedia("(min-width: 60rem)").matches) { byId("filters").open = true; }
  recall();
  byId("finder").addEventListener("input", update);
  byId("finder").addEventListener("change", update);
  byId("finder").addEventListener("submit", function (event) { event.preventDefault(); toList(); });
  byId("q").addEventListener("keydown", function (event) {
    if (event.key === "Escape") { byId("q").value = ""; update(); event.preventDefault(); }
    if (event.key === "Enter") { event.preventDefault(); toList(); }
  });
  byId("show").addEventListener("click", function () { byId("filters").open = false; toList(); });
  window.addEventListener("hashchange", function () { if (location.hash.indexOf("=") > 0) { recall(); update(); } });
  update();
})();
