"use strict";
// Around the terminal: where its socket is, the keyboard's focus, the paste key, and the last word when it has ended.
(() => {
  const light = matchMedia("(prefers-color-scheme: light)").matches;
  document.getElementById("terminal").dataset.sessionWebsocketUrl =
    `ws://${location.host}/ws/${light ? "light" : "dark"}`;

  const ended = (code) => {
    const said = document.querySelector(`#ended [data-code="${code}"]`);
    (said || document.querySelector('#ended [data-code="other"]')).classList.add("-said");
    document.querySelector("#ended a").focus();
  };
  const Plain = window.WebSocket;
  window.WebSocket = class extends Plain {
    constructor(...words) {
      super(...words);
      this.addEventListener("close", (event) => setTimeout(() => ended(event.code)));
    }
  };

  // The app is told of a focus only once the socket stands.
  const body = document.body;
  const focus = () => {
    const keyboard = document.querySelector(".xterm-helper-textarea");
    if (keyboard && !body.classList.contains("-closed")) {
      keyboard.blur();
      keyboard.focus();
    }
  };
  new MutationObserver((_, watch) => {
    if (body.classList.contains("-loaded")) {
      watch.disconnect();
      focus();
    }
  }).observe(body, { attributeFilter: ["class"] });
  addEventListener("focus", focus);

  // Ctrl+V stays the browser's, which then pastes into the terminal; the terminal alone would send one control letter.
  addEventListener("keydown", (event) => {
    if (event.ctrlKey && !event.altKey && !event.shiftKey && event.key.toLowerCase() === "v") {
      event.stopImmediatePropagation();
    }
  }, true);

  // The terminal measures its letters once: their font must be there before.
  const start = window.onload;
  window.onload = (event) => document.fonts.load('16px "Roboto Mono"').finally(() => start(event));
})();
