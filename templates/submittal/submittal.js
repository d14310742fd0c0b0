(function () {
  "use strict";
  var box = document.getElementById("filterbox");
  var field = document.getElementById("filter");
  if (box && field) {
    box.hidden = false;
    field.addEventListener("input", function () {
      var wanted = field.value.trim().toLowerCase();
      var parts = document.querySelectorAll(".filtered");
      for (var i = 0; i < parts.length; i += 1) {
        parts[i].classList.toggle("out", wanted !== "" && parts[i].textContent.toLowerCase().indexOf(wanted) < 0);
      }
    });
  }
  // Sizes and ranges bring the figure by which they sort; what is a number from end to end sorts by value and stands before words;
  // an empty cell comes last whichever way.
  function key(cell) {
    var text = (cell ? cell.textContent : "").trim();
    var plain = text.replace(/[\u202f\u00a0]/g, "").replace("\u2212", "-");
    var figure = cell && cell.hasAttribute("data-k") ? cell.getAttribute("data-k") : plain;
    return { text: text, number: /^-?\d+(\.\d+)?$/.test(figure) ? parseFloat(figure) : null };
  }
  function compare(a, b, up) {
    if (a.text === "" || b.text === "") { return (a.text === "" ? 1 : 0) - (b.text === "" ? 1 : 0); }
    var figures = (a.number === null ? 1 : 0) - (b.number === null ? 1 : 0) || (a.number === null ? 0 : a.number - b.number);
    var order = figures || a.text.localeCompare(b.text, "en", { numeric: true });
    return up ? order : -order;
  }
  // Rows of one tag stay together, in the order in which they came.
  function blocks(body) {
    var own = [];
    Array.prototype.forEach.call(body.rows, function (row) {
      if (row.classList.contains("sec")) { return; }
      if (row.querySelector(".again") && own.length) { own[own.length - 1].push(row); } else { own.push([row]); }
    });
    return own;
  }
  function sort(table, column, up) {
    Array.prototype.forEach.call(table.tBodies, function (body) {
      var rows = blocks(body).map(function (block, at) { return { block: block, at: at, key: key(block[0].cells[column]) }; });
      rows.sort(function (a, b) { return compare(a.key, b.key, up) || a.at - b.at; });
      rows.forEach(function (own) { own.block.forEach(function (row) { body.appendChild(row); }); });
    });
  }
  Array.prototype.forEach.call(document.querySelectorAll(".wide > table"), function (table) {
    var heads = table.tHead.rows[0].cells;
    Array.prototype.forEach.call(heads, function (head, column) {
      if (!head.textContent.trim() || head.classList.contains("sign")) { return; }
      var button = document.createElement("button");
      button.type = "button";
      button.className = "sort";
      while (head.firstChild) { button.appendChild(head.firstChild); }
      head.appendChild(button);
      button.addEventListener("click", function () {
        var up = head.getAttribute("aria-sort") !== "ascending";
        Array.prototype.forEach.call(heads, function (other) { other.removeAttribute("aria-sort"); });
        head.setAttribute("aria-sort", up ? "ascending" : "descending");
        sort(table, column, up);
      });
    });
  });
})();
