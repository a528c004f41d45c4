// What can go wrong while one reads. The page is live again by itself, or one sentence says what to do.
import { ask } from "./early.js";

const PAUSE = 2000;
const SILENCE = 3000;
const OF_THE_SERVER = ["restarting", "dead"];  // states that the server tells in a kernel's place
const OFTEN = 20000;  // milliseconds between two pages that load themselves
const STOPPED = "The workbook has stopped. Type its line again in the window where you typed it, and go on in the page that opens.";
const AGAIN = "The workbook was started again. Go on in its new page, and close this one.";
const NOTHING = "Nothing answers any more. Load this page again (F5).";
const ELSEWHERE = "This lesson is open in a newer window. Go on there, or:";

export function watch(page) {
  watchKernel(page);
  watchServer(page);
  watchWindows(page);
}

// A kernel that was restarted, by itself or by hand, knows nothing of the lesson: run it again. Each kernel process puts
// a session of its own into every message, and that of a new one is all that is sure to reach the page: what a kernel
// says of its own start can get lost, because the server's sockets find it a moment later. When it has long said
// nothing, it is asked who it is. A kernel that is gone comes back with the page.
function watchKernel(page) {
  const context = page.context.sessionContext;
  const known = new Set();
  let kernel = null, heard = 0, gone = false;
  function hear(_, { msg, direction }) {
    if (direction !== "recv" || OF_THE_SERVER.includes(msg.content.execution_state)) return;
    heard = Date.now();
    const session = msg.header.session;
    if (known.has(session)) return;
    known.add(session);
    if (known.size > 1) page.runner.again();
  }
  function take() {
    kernel?.anyMessage.disconnect(hear);
    kernel = context.session?.kernel || null;
    kernel?.anyMessage.connect(hear);
  }
  context.kernelChanged.connect(take);
  take();
  setInterval(() => {
    if (kernel?.connectionStatus === "connected" && Date.now() - heard > SILENCE) askWho(kernel, page.runner);
  }, SILENCE);
  context.statusChanged.connect((_, status) => {
    if (status !== "dead" || gone) return;
    gone = true;
    page.place.still = true;
    if (!page.runner.answered || !reloads()) page.say(NOTHING);
  });
}

// A kernel answers in order: what was asked before and is still without an answer went to one that is gone.
function askWho(kernel, runner) {
  const before = [...runner.waiting];
  kernel.requestKernelInfo().then(() => { if (before.some((area) => runner.waiting.has(area))) runner.again(); }, () => {});
}

// Load the page afresh, but never over and over: a page that came so a moment ago says what is wrong instead.
function reloads() {
  const last = Number(sessionStorage.getItem("sn-reloaded") || 0);
  if (Date.now() - last < OFTEN) return false;
  sessionStorage.setItem("sn-reloaded", String(Date.now()));
  location.reload();
  return true;
}

function watchServer(page) {
  const session = page.context.sessionContext;
  let asking = false;
  async function lost() {
    if (asking) return;
    asking = true;
    for (;;) {
      const id = session.session?.kernel?.id;
      if (!id) { asking = false; return; }  // none yet: it is being started, and nothing is lost
      const status = await ask(`kernels/${id}`).then((answer) => answer.status, () => 0);
      if (status === 200) break;
      if (status === 404 && reloads()) return;
      page.place.still = true;
      page.say(status ? AGAIN : STOPPED);
      if (status) return;
      await new Promise((done) => { setTimeout(done, PAUSE); });
    }
    asking = false;
    page.place.still = false;
    page.say("");
    session.session?.kernel?.reconnect().catch(() => {});
  }
  session.connectionStatusChanged.connect((_, status) => { if (status !== "connected") lost(); });
  page.app.serviceManager.connectionFailure.connect(lost);
}

// Two windows on one lesson share its kernel, and the newer one has it.
function watchWindows(page) {
  const me = Math.random();
  const windows = new BroadcastChannel(`steadyneedle ${page.lab.coreutils.PageConfig.getBaseUrl()}`);
  windows.onmessage = ({ data }) => {
    if (data.path !== page.path || data.from === me) return;
    page.place.still = true;
    page.runner.stop();
    page.say(ELSEWHERE, ["Use this window", () => location.reload()]);
  };
  windows.postMessage({ path: page.path, from: me });
}
