(function () {
  "use strict";
  var box = document.getElementById("filterbox");
  var field = document.getElementById("filter");
  if (!box || !field) { return; }
  box.hidden = false;
  field.addEventListener("input", function () {
    var wanted = field.value.trim().toLowerCase();
    var parts = document.querySelectorAll(".filtered");
    for (var i = 0; i < parts.length; i += 1) {
      parts[i].hidden = wanted !== "" && parts[i].textContent.toLowerCase().indexOf(wanted) < 0;
    }
  });
})();
