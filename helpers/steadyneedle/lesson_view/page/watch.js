// What can go wrong while one reads. The page is live again by itself, or one sentence says what to do.
import { holdsUnsaved } from "./carry.js";
import { ask } from "./early.js";

const PAUSE = 2000;
const SILENCE = 3000, LEEWAY = 8000;  // what a busy machine still has on its way is not lost
const FEW = 2, MANY = 20;  // questions without an answer, of an idle kernel and of one that starts or works, before a new connection is made
const OF_THE_SERVER = ["restarting", "dead"];  // states that the server tells in a kernel's place
const OFTEN = 20000;  // milliseconds between two pages that load themselves
const STOPPED = "The workbook has stopped. Type its line again in the window where you typed it, and go on in the page that opens.";
const COPY_FIRST = "First copy what is “Not saved yet”: it goes with this page. Then close it";
const STOPPED_PAPER = (line, first) => `The workbook has stopped. ${first ? COPY_FIRST : "Close this page"}; everything up to “Saved” will be there when you type in a terminal: ${line}`;
const AGAIN = "The workbook was started again. Go on in its new page, and close this one.";
const NOTHING = "Nothing answers any more. Load this page again (F5).";
const ELSEWHERE = (what) => `This ${what} is open in a newer window. Go on there, or:`;

export function watch(page) {
  watchKernel(page);
  watchServer(page);
  watchWindows(page);
}

// A kernel that was restarted, by itself or by hand, knows nothing of the lesson: run it again. Each kernel process puts
// a session of its own into every message, and that of a new one is all that is sure to reach the page: what a kernel
// says of its own start can get lost, because the server's sockets find it a moment later. So a kernel that has long
// said nothing is asked who it is. It answers in order: a cell that was sent before and has no answer then was lost.
// Where no answer comes, nothing sent gets through: a new kernel ignores a connection that seems to be there already.
// A kernel that is gone comes back with the page.
function watchKernel(page) {
  const context = page.context.sessionContext, runner = page.runner;
  const known = new Set();
  let kernel = null, heard = 0, gone = false, ranAgain = 0;
  let asking = false, question = null, unanswered = 0, sentBefore = [];
  function hear(_, { msg, direction }) {
    if (direction === "send") {
      if (asking) question = msg.header.msg_id;
      return;
    }
    if (OF_THE_SERVER.includes(msg.content.execution_state)) return;
    heard = Date.now();
    if (isOpenedElsewhere(kernel, runner, msg)) yieldTo(page);
    const fresh = known.size > 0 && !known.has(msg.header.session);
    known.add(msg.header.session);
    const answer = msg.header.msg_type === "kernel_info_reply" && msg.parent_header.msg_id === question;
    if (answer) unanswered = 0;
    if (fresh || runner.broken) runner.again();
    else if (answer) setTimeout(lookForLost, LEEWAY, sentBefore);
  }
  function ask() {
    if (kernel?.connectionStatus !== "connected" || Date.now() - heard < SILENCE) return;
    unanswered += 1;
    const silent = kernel.status === "idle" || (kernel.status === "unknown" && known.size);  // as after a key typed while it died
    if (unanswered > (silent ? FEW : MANY)) {
      unanswered = 0;
      kernel.reconnect().catch(() => {});
      return;
    }
    sentBefore = [...runner.waiting];
    asking = true;
    kernel.requestKernelInfo().catch(() => {});
    asking = false;
  }
  function lookForLost(cells) {
    if (runner.stopped || !cells.some((one) => runner.waiting.has(one))) return;
    if (runner.turn === ranAgain) { if (!reloads(page)) page.say(NOTHING); return; }
    runner.again();
    ranAgain = runner.turn;
  }
  function take() {
    kernel?.anyMessage.disconnect(hear);
    kernel = context.session?.kernel || null;
    kernel?.anyMessage.connect(hear);
  }
  context.kernelChanged.connect(take);
  take();
  setInterval(ask, SILENCE);
  context.statusChanged.connect((_, status) => {
    if (status !== "dead" || gone) return;
    gone = true;
    page.place.still = true;
    if (!runner.answered || !reloads(page)) page.say(NOTHING);
  });
}

// Load the page afresh, but never over and over: a page that came so a moment ago says what is wrong instead.
// Nor where the workbook does not know this browser: then a page to log in would take the lesson's place.
function reloads(page) {
  const last = Number(sessionStorage.getItem("sn-reloaded") || 0);
  if (Date.now() - last < OFTEN) return false;
  sessionStorage.setItem("sn-reloaded", String(Date.now()));
  ask("kernels").then(({ status }) => (status === 403 ? page.say(AGAIN) : page.load()), () => page.load());
  return true;
}

function watchServer(page) {
  const session = page.context.sessionContext;
  let asking = false, id = null;  // a kernel that is given up has none any more
  async function lost() {
    if (asking) return;
    asking = true;
    for (;;) {
      id = session.session?.kernel?.id || id;
      if (!id) { asking = false; return; }  // none yet: it is being started, and nothing is lost
      const status = await ask(`kernels/${id}`).then((answer) => answer.status, () => 0);
      if (status === 200) break;
      if (status === 404 && reloads(page)) return;
      page.place.still = true;
      page.say(status ? AGAIN : page.mark.line ? STOPPED_PAPER(page.mark.line, holdsUnsaved(page)) : STOPPED);
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
    if (data.path === page.path && data.from !== me) yieldTo(page);
  };
  windows.postMessage({ path: page.path, from: me });
}

// Another browser, or a notebook, has opened the lesson on this page's kernel: that takes everything live off this page.
// What the page before this one has sent is answered before this one's own cells are.
function isOpenedElsewhere(kernel, runner, msg) {
  return msg.header.msg_type === "execute_input" && /\bopen_(lesson|paper)\(/.test(msg.content.code)
    && msg.parent_header.session !== kernel.clientId && runner.answered && !runner.stopped;
}

function yieldTo(page) {
  page.place.still = true;
  page.runner.stop();
  page.say(ELSEWHERE(page.mark.page === "paper" ? "paper" : "lesson"), ["Use this window", () => page.load()]);
}
