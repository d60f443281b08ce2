// What the page says and asks beside the terminal. All words are data: set as text, never as HTML.
"use strict";
(() => {
  const page = window.shopPage;
  const at = (id) => document.getElementById(id);
  const FONTS = "ui-monospace, 'DejaVu Sans Mono', Menlo, Consolas, monospace";
  const PAD = ["7", "8", "9", "/", "4", "5", "6", "*", "1", "2", "3", "-", "0", ".", "⌫", "+", "Enter"];
  const TYPED = { "⌫": "\x7f", Enter: "\r" };
  const light = matchMedia("(prefers-color-scheme: light)");
  const start = window.onload;
  let turn = -1;
  let field = "";
  let padWanted = false;

  const text = (element, words) => {
    element.textContent = words;
    element.hidden = !words;
  };

  const button = (key, label, press) => {
    const made = document.createElement("button");
    made.type = "button";
    if (key && key !== label) {
      const name = document.createElement("b");
      name.textContent = key;
      made.append(name, " ");
    }
    made.append(label);
    made.addEventListener("click", press);
    return made;
  };

  const NAMES = { enter: "Enter", escape: "Esc", minus: "-", plus: "+", asterisk: "*", slash: "/",
    full_stop: ".", question_mark: "?", f1: "F1", up: "↑", down: "↓", left: "←", right: "→",
    "ctrl+u": "//" };
  const nameOf = (key) => NAMES[key] || (/^[#=]/.test(key) ? "" : key);

  // What stands in the field of words goes with the Enter that gives it, whichever of them it is.
  const press = (key) => {
    // eslint-disable-next-line no-control-regex
    const words = at("typed").value.replace(/[\x00-\x1f\x7f-\x9f]/g, " ");
    page.send(["press", turn, key, ...(field === "words" && key === "enter" ? [words] : [])]);
  };

  // A button stays under the finger while its question does; one of another question never does.
  const choices = (place, every, anew) => {
    const now = [...place.querySelectorAll("[data-key]")];
    if (!anew && now.length === every.length && now.every((one, at) => one.dataset.key === every[at][0])) {
      now.forEach((one, at) => { one.lastChild.data = every[at][1]; });
      return;
    }
    place.replaceChildren(...every.map(([key, label]) => {
      const made = button(nameOf(key), label, () => press(key));
      made.dataset.key = key;
      if (key === "enter") made.className = "first";
      return made;
    }));
  };

  page.told = (told) => {
    if (told.turn !== turn) at("typed").value = "";
    const another = told.turn !== turn;
    ({ turn, field } = told);
    text(at("title"), told.ask ? "" : told.title);
    text(at("tag"), told.tag);
    text(at("ask"), told.ask);
    text(at("big"), told.big);
    text(at("say"), told.say);
    at("lines").replaceChildren(...told.lines.map((line) => {
      const made = document.createElement("p");
      made.textContent = line;
      return made;
    }));
    choices(at("answers"), told.answers, another);
    choices(at("keys"), told.keys, another);
    at("words").hidden = field !== "words";
    text(at("entry"), field === "number" ? `${told.entry}_   ${told.beside}` : "");
    showPad();
    // What a keyboard or a gauge types next goes to the board, whatever was touched before it.
    if (field !== "words" && page.terminal) page.terminal.terminal.focus();
    if (another) document.querySelector("main").scrollTop = 0;
  };

  const showPad = () => { at("pad").hidden = !(field === "number" || padWanted); };

  const SAID = {
    lost: "The connection is lost. Trying again; nothing recorded is lost. What was touched last may not count: "
      + "look at the question once it is back. If it lasts: is this device on the shop's network, "
      + "and the computer awake that serves the board?",
    late: "What was touched came too late, and does not count: look, and touch it again.",
    elsewhere: "This board is open in another tab.",
    ended: "The board is closed.",
  };

  page.state = (state) => {
    const ended = state === "ended" && page.words ? ` ${page.words}` : "";
    text(at("lost"), state === "open" ? "" : SAID[state] + ended);
    at("again").hidden = state !== "ended" && state !== "elsewhere";
    at("told").hidden = state === "ended" || state === "elsewhere";
    document.body.classList.toggle("lost", state !== "open" && state !== "late");
    if (state === "ended") sessionStorage.removeItem("at");
    if (state === "open") page.words = "";
  };

  // As large as 80 columns and 24 rows allow; in a small window 60 and 20, which is the least.
  const fit = () => {
    const own = page.terminal;
    if (!own) return;
    const place = at("board");
    const small = place.clientWidth < 560 || place.clientHeight < 400;
    const [columns, rows] = small ? [60, 20] : [80, 24];
    let size = Math.min(26, place.clientWidth / columns / 0.55, place.clientHeight / rows / 1.1);
    for (size = Math.ceil(size * 2) / 2; size > 4; size -= 0.5) {
      own.terminal.options.fontSize = size;
      const fits = own.fitAddon.proposeDimensions();
      if (fits && fits.cols >= columns && fits.rows >= rows) break;
    }
    own.fit();
  };

  const colour = () => {
    const [background, foreground] = light.matches ? ["#ffffff", "#111111"] : ["#000000", "#f2f2f2"];
    page.terminal.terminal.options.theme = { background, foreground };
  };

  // The terminal would connect before it is fitted: it is begun once all of that can be done.
  window.onload = () => {
    for (const label of PAD) {
      const made = button("", label, () => {
        if (label === "Enter" && field === "words") press("enter");
        else page.send(["stdin", TYPED[label] || label]);
      });
      if (label === "Enter") made.className = "first";
      if (label === "⌫") made.setAttribute("aria-label", "Backspace");
      at("pad").append(made);
    }
    at("more").addEventListener("click", () => { padWanted = !padWanted; showPad(); });
    at("words").addEventListener("submit", (event) => {
      event.preventDefault();
      press("enter");
    });
    at("again").addEventListener("click", () => page.open());
    start();
    page.terminal.terminal.options.fontFamily = FONTS;
    if (matchMedia("(pointer: coarse)").matches) {
      for (const one of document.querySelectorAll(".xterm-helper-textarea")) one.inputMode = "none";
    }
    colour();
    fit();
    window.onresize = fit;
    light.addEventListener("change", () => { colour(); page.send(["show"]); });
  };
})();
