// What is folded opens when a link leads into it, and on paper. Without this script the browser's own ways remain.
"use strict";
(() => {
  const reveal = () => {
    const target = location.hash.length > 1 && document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (!target) return;
    let shut = false;
    for (let fold = target.closest("details"); fold; fold = fold.parentElement.closest("details")) {
      shut = shut || !fold.open;
      fold.open = true;
    }
    if (shut) target.scrollIntoView();
  };
  addEventListener("hashchange", reveal);
  addEventListener("DOMContentLoaded", reveal);
  let opened = [];
  addEventListener("beforeprint", () => {
    opened = [...document.querySelectorAll("details:not([open])")];
    opened.forEach((fold) => { fold.open = true; });
  });
  addEventListener("afterprint", () => { opened.forEach((fold) => { fold.open = false; }); });
})();
