// @ts-check
// The page of a phone that runs the app alone. What its buttons do is done by the page around it, which keeps the record.

const shell = /** @type {any} */ (parent).boardwise;
const said = /** @type {HTMLElement} */ (document.getElementById("said"));

/** @param {string} name */
const the = (name) => /** @type {HTMLElement} */ (document.querySelector(`[data-phone="${name}"]`));

/** Does something and says what came of it. @param {() => Promise<string>} work */
async function run(work) {
  said.textContent = "One moment...";
  try {
    said.textContent = await work();
  } catch (why) {
    said.textContent = why instanceof Error ? why.message : String(why);
  }
  said.scrollIntoView({ block: "nearest" });
}

the("take-out").addEventListener("click", () =>
  run(async () => {
    const record = await shell.takeOut();
    if (record.size === 0) return "There is no record yet: nothing was logged on this phone.";
    const link = document.createElement("a");
    link.href = URL.createObjectURL(record);
    link.download = `${new Date().toISOString().slice(0, 10)}.record`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
    return `Saved as ${link.download}. It was opened and compared before it was given out.`;
  }),
);

/** @param {string} name @param {(bytes: ArrayBuffer) => Promise<string>} take */
function takes(name, take) {
  the(name).addEventListener("change", (event) =>
    run(async () => {
      const input = /** @type {HTMLInputElement} */ (event.target);
      const file = input.files?.[0];
      if (!file) return "";
      const said = await take(await file.arrayBuffer());
      // The same file may be chosen once more.
      input.value = "";
      return said;
    }),
  );
}

takes("bring-in", (bytes) => shell.bringIn(bytes));
takes("join-in", (bytes) => shell.joinIn(bytes));

const computer = /** @type {HTMLInputElement} */ (document.getElementById("computer"));
computer.value = localStorage.getItem("boardwise.computer") ?? "";

/**
 * The window of a computer takes this phone's record in and gives its own back. A page that came over https may not ask a computer of
 * the network itself; two windows may talk.
 * @param {Window | null} other @param {string} origin
 */
function exchanged(other, origin) {
  return /** @type {Promise<ArrayBuffer>} */ (new Promise((done, failed) => {
    if (!other) {
      failed(new Error("The browser opened no window. Allow it, and try again."));
      return;
    }
    const ended = setInterval(() => other.closed && end(() => failed(new Error("The other window was closed. Nothing changed here."))), 500);
    /** @param {() => void} how */
    const end = (how) => {
      clearInterval(ended);
      removeEventListener("message", heard);
      how();
    };
    /** @param {MessageEvent} event */
    async function heard({ origin: from, source, data }) {
      if (from !== origin || source !== other) return;
      if (data.boardwise === "ready") {
        try {
          const bytes = await (await shell.takeOut()).arrayBuffer();
          other?.postMessage({ boardwise: "record", bytes }, origin, [bytes]);
        } catch (why) {
          end(() => failed(why));
        }
      }
      if (data.boardwise === "record") end(() => done(data.bytes));
      if (data.boardwise === "failed") end(() => failed(new Error(data.why)));
    }
    addEventListener("message", heard);
  }));
}

/** What the camera has read: a computer, and its code as it stands behind the address. */
const read = { origin: "", code: "" };

/** Looks through the camera until it sees the picture of a computer's address. @param {HTMLVideoElement} video */
async function seen(video) {
  const detector = new /** @type {any} */ (window).BarcodeDetector({ formats: ["qr_code"] });
  const stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
  try {
    video.srcObject = stream;
    video.hidden = false;
    await video.play();
    for (const until = Date.now() + 60_000; Date.now() < until; await new Promise((go) => setTimeout(go, 200))) {
      for (const { rawValue } of await detector.detect(video)) {
        const [, origin, code] = /^(http:\/\/[^/]+)\/\w+(#\d{10})$/.exec(rawValue) ?? [];
        if (origin && code) return { origin, code };
      }
    }
    throw new Error("No picture of a computer's address was seen. Type the address instead.");
  } finally {
    for (const track of stream.getTracks()) track.stop();
    video.srcObject = null;
    video.hidden = true;
  }
}

const reader = /** @type {HTMLButtonElement} */ (document.getElementById("read"));
reader.addEventListener("click", () =>
  run(async () => {
    Object.assign(read, await seen(/** @type {HTMLVideoElement} */ (document.getElementById("camera"))));
    computer.value = read.origin;
    return "Read. Now press Exchange with it.";
  }),
);
// Few browsers can read a picture by themselves.
/** @type {any} */ (window).BarcodeDetector?.getSupportedFormats().then((/** @type {string[]} */ formats) => {
  reader.hidden = !formats.includes("qr_code") || !navigator.mediaDevices;
});

/** @type {HTMLElement} */ (document.getElementById("exchange")).addEventListener("submit", (event) => {
  event.preventDefault();
  run(async () => {
    const typed = computer.value.trim();
    const { origin } = new URL(typed.includes("://") ? typed : `http://${typed}`);
    // The window fills in the code itself, where the camera has read it.
    const bytes = exchanged(open(`${origin}/exchange${read.origin === origin ? read.code : ""}`), origin);
    said.textContent = "Go on in the other window.";
    const told = await shell.joinIn(await bytes);
    localStorage.setItem("boardwise.computer", origin);
    return told;
  });
});

/** @type {any} */
let offered = null;

the("update").addEventListener("click", () =>
  run(async () => {
    if (offered) {
      await shell.update(offered);
      return "Starting anew...";
    }
    offered = await shell.newer();
    if (!offered) return "This is the newest version.";
    const state = await fetch("/lanes/screen", { cache: "no-store" });
    const open = state.ok && (await state.json()).next !== null;
    the("update").textContent = `Take version ${offered.version}`;
    return open ? "There is a newer version. A block is open: finish it first, or take the version now." : "There is a newer version.";
  }),
);
