// What can go wrong while one reads. The page is live again by itself, or one sentence says what to do.
import { ask } from "./early.js";

const PAUSE = 2000;
const STOPPED = "The workbook has stopped. Type its line again in the window where you typed it, and go on in the page that opens.";
const AGAIN = "The workbook was started again. Go on in its new page, and close this one.";
const ELSEWHERE = "This lesson is open in a newer window. Go on there, or:";

export function watch(page) {
  watchKernel(page);
  watchServer(page);
  watchWindows(page);
}

// A kernel that was restarted, by itself or by hand, knows nothing of the lesson; one that is gone is started.
function watchKernel(page) {
  const session = page.context.sessionContext;
  let stale = false;
  session.statusChanged.connect((_, status) => {
    if (["restarting", "autorestarting", "terminating"].includes(status)) stale = true;
    if (status === "dead") session.restartKernel().catch(() => {});
    if (status === "idle" && stale) {
      stale = false;
      page.runner.again();
    }
  });
  session.kernelChanged.connect((_, { oldValue, newValue }) => {
    if (oldValue && newValue && oldValue.id !== newValue.id) stale = true;
    if (!newValue && !session.isDisposed) session.changeKernel({ name: "python3" }).catch(() => {});
  });
}

function watchServer(page) {
  const session = page.context.sessionContext;
  let asking = false;
  async function lost() {
    if (asking) return;
    asking = true;
    for (;;) {
      const id = session.session?.kernel?.id;
      const status = await ask(`kernels/${id}`).then((answer) => answer.status, () => 0);
      if (status === 200) break;
      if (status === 404) { location.reload(); return; }
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
