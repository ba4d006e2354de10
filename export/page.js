"use strict";
(function () {
  var field = document.getElementById("train");
  var lines = document.querySelectorAll("tr[data-train]");
  var drawn = document.querySelectorAll("svg .train[data-train], svg .mark[data-train]");
  var names = new Set();
  document.querySelectorAll(".page tr.train").forEach(function (r) { names.add(r.dataset.train.split("\n")[0]); });
  names.forEach(function (n) {
    var o = document.createElement("option");
    o.value = n;
    document.getElementById("trains").appendChild(o);
  });
  function show() {
    var want = field.value.trim().toUpperCase(), shown = 0;
    lines.forEach(function (l) {
      var is = want === "" || l.dataset.train.toUpperCase().split("\n").some(function (n) { return n.indexOf(want) >= 0; });
      l.classList.toggle("out", !is);
      if (is && l.classList.contains("train")) shown++;
    });
    drawn.forEach(function (g) {
      g.classList.toggle("faint", want !== "" && g.dataset.train.toUpperCase().indexOf(want) < 0);
    });
    document.getElementById("count").textContent = want === "" ? "" : shown + (shown === 1 ? " train" : " trains");
  }
  field.addEventListener("input", show);
  var asked = /^#train=(.+)$/.exec(location.hash); // a link may ask for a train
  if (asked) field.value = decodeURIComponent(asked[1]);
  document.getElementById("pick").hidden = false;
  show();
})();
