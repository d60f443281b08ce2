// The page's connection: the terminal, which knows one WebSocket, is given one that lasts.
"use strict";
(() => {
  const ELSEWHERE = 4001, ENDED = 4002;
  const RealSocket = window.WebSocket;
  // Milliseconds from one question to the next whether anybody is there, and to no answer.
  const BEAT = 2000, QUIET = 5000;

  const tab = () => {
    let name = sessionStorage.getItem("tab");
    if (!/^[0-9a-f]{32}$/.test(name || "")) {
      const bytes = crypto.getRandomValues(new Uint8Array(16));
      name = Array.from(bytes, (one) => one.toString(16).padStart(2, "0")).join("");
      sessionStorage.setItem("tab", name);
    }
    return name;
  };

  const page = (window.shopPage = { told: () => {}, state: () => {}, terminal: null, send: () => {} });

  class LastingSocket extends EventTarget {
    constructor(url) {
      super();
      this.size = /width=(\d+)&height=(\d+)/.exec(url).slice(1).map(Number);
      this.real = null;
      this.tries = 0;
      page.send = (what) => this.send(JSON.stringify(what));
      page.open = () => this.open();
      page.cut = () => this.real.close();
      page.timed = () => this.ahead !== null;
      document.addEventListener("visibilitychange", () => this.soon());
      window.addEventListener("online", () => this.soon());
      this.beaten = Date.now();
      setInterval(() => this.beat(), BEAT);
      this.open();
    }

    open() {
      clearTimeout(this.timer);
      this.over = false;
      const url = new URL("/socket", location.href);
      url.protocol = location.protocol === "https:" ? "wss:" : "ws:";
      url.search = new URLSearchParams({
        width: this.size[0], height: this.size[1], tab: tab(), at: sessionStorage.getItem("at") || "",
      });
      const real = (this.real = new RealSocket(url));
      real.binaryType = "arraybuffer";
      this.asked = Date.now();
      this.ahead = null;
      real.onopen = () => {
        this.tries = 0;
        this.asked = null;
        this.beat();
        this.dispatchEvent(new Event("open"));
      };
      real.onmessage = (event) => this.real === real && this.heard(event.data);
      real.onclose = (event) => this.real === real && this.lost(event.code);
    }

    // A server that stands still, or a network that is gone, closes no socket: it is asked.
    beat() {
      const now = Date.now(), stoodStill = now - this.beaten > 2 * BEAT;
      this.beaten = now;
      if (this.real === null) return;
      if (this.asked === null || stoodStill) { // where it was this page that did, it asks again
        this.asked = now;
        if (this.real.readyState === RealSocket.OPEN) this.real.send(JSON.stringify(["ping", now]));
      } else if (now - this.asked > QUIET) {
        this.real.close();
        this.lost(0);
      }
    }

    heard(data) {
      if (typeof data !== "string") {
        this.dispatchEvent(new MessageEvent("message", { data }));
        return;
      }
      const told = JSON.parse(data);
      if (told.type === "pong" && told.asked === this.asked) {
        this.ahead = told.now * 1000 - this.asked;
        this.asked = null;
      } else if (told.type === "late") page.state("late");
      if (told.type === "told") {
        sessionStorage.setItem("at", told.at);
        page.told(told);
        page.state("open");
      } else if (told.type === "ended") {
        page.words = told.words;
      }
    }

    lost(code) {
      this.real = null;
      this.over = code === ELSEWHERE || code === ENDED;
      page.state(code === ELSEWHERE ? "elsewhere" : code === ENDED ? "ended" : "lost");
      if (this.over) return;
      this.tries += 1;
      this.timer = setTimeout(() => this.tryAgain(), Math.min(3000, 300 * this.tries));
    }

    async tryAgain() {
      // A refusal cannot be read from a socket: where the page itself is refused, its answer tells.
      const answer = await fetch("/", { cache: "no-store", redirect: "manual" }).catch(() => null);
      if (answer !== null && !answer.ok && answer.status < 500 && answer.status !== 429) {
        location.reload();
      } else if (this.real === null && !this.over) {
        this.open();
      }
    }

    soon() {
      if (document.visibilityState === "visible" && this.real === null && !this.over) {
        clearTimeout(this.timer);
        this.tryAgain();
      }
    }

    send(data) {
      const said = JSON.parse(data);
      if (said[0] === "resize") this.size = [said[1].width, said[1].height];
      if (["ping", "focus", "blur"].includes(said[0])) return;
      if (this.real === null || this.real.readyState !== RealSocket.OPEN) return;
      // What is done on the page says when, by the server's clock: later it would answer by surprise.
      const timed = this.ahead !== null && ["stdin", "press"].includes(said[0]);
      this.real.send(timed ? JSON.stringify(["at", (Date.now() + this.ahead) / 1000, ...said]) : data);
    }
  }
  window.WebSocket = LastingSocket;

  // The terminal keeps itself to itself; its part that fits it to the page is set on it as this.
  Object.defineProperty(Object.prototype, "fitAddon", {
    configurable: true,
    set(value) {
      delete Object.prototype.fitAddon;
      this.fitAddon = value;
      page.terminal = this;
    },
  });
})();
